import type { Check } from '../../src/check/checkSchema.ts';
import { Part } from './Part.tsx';

/** What was taken because the plan does not say: room to tick each off on paper. */
export function Defaults({ check }: { readonly check: Check }) {
  if (check.defaults.length === 0) return null;
  return (
    <Part id="defaults" title="Defaults to be confirmed">
      <table class="sections defaults">
        <tbody>
          {check.defaults.map(({ place, value, unit, what }) => (
            <tr key={place}>
              <td class="tick" aria-hidden="true">
                ☐
              </td>
              <th scope="row" class="text">
                {what}
              </th>
              <td>
                <b>{value}</b> {unit}
              </td>
              <td class="text place">{place}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </Part>
  );
}
