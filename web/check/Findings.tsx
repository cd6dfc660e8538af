import { Mark } from '../Mark.tsx';
import type { PartProps } from './CheckView.tsx';
import { findingsToShow, SEVERITY_SAYINGS, SEVERITY_SIGNS } from './checkWords.ts';
import { Part } from './Part.tsx';

/** Most severe first, as the check has them. They are whole sentences in the plan's units. */
export function Findings({ check, written }: PartProps) {
  const findings = findingsToShow(check);
  return (
    <Part id="findings" title="Findings">
      {written.system !== check.units && (
        <p class="check-note">Findings are written in the plan’s {check.units} units.</p>
      )}
      {findings.length === 0 && <p>Nothing speaks against the plan.</p>}
      <table class="findings">
        <tbody>
          {findings.map(({ severity, joint, text }) => (
            <tr key={`${joint} ${text}`} class={`finding finding-${severity}`} data-severity={severity}>
              <td class="finding-severity">
                <Mark name={SEVERITY_SIGNS[severity]} size={20} /> {SEVERITY_SAYINGS[severity]}
              </td>
              <th scope="row">{joint ?? 'trip'}</th>
              <td>{text}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {check.defaults.length > 0 && (
        <p class="check-note">{check.defaults.length} defaults stand in for what the plan leaves out: see Defaults.</p>
      )}
    </Part>
  );
}
