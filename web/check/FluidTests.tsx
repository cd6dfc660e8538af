import type { Check } from '../../src/check/checkSchema.ts';
import { decimal } from '../figures.ts';
import { Mark, type MarkName } from '../Mark.tsx';
import { job } from '../state.ts';
import type { PartProps } from './CheckView.tsx';
import { Part } from './Part.tsx';

type Verdict = NonNullable<Check['fluid']>['verdict'];
const VERDICT_MARKS: Readonly<Record<Verdict, MarkName>> = {
  pass: 'done',
  fail: 'short',
  'too few': 'unproven',
  'no rule': 'open',
};

/** `2031-05-11 17:35` on the rig's clock. */
const rigDay = (at: string): string =>
  new Date(Date.parse(at) + (job.value?.stream.utcOffsetMs ?? 0)).toISOString().slice(0, 16).replace('T', ' ');

/** Whether the fluid lets the screens go in the hole. */
export function FluidTests({ check, written }: PartProps) {
  const { fluid } = check;
  if (!fluid) return null;
  return (
    <Part id="fluid" title="Fluid through the screen">
      <p class="fluid-verdict" data-testid="fluid-verdict">
        <Mark name={VERDICT_MARKS[fluid.verdict]} size={22} /> <b>{fluid.verdict}</b> <span>{fluid.reason}</span>
      </p>
      {fluid.tests.length > 0 && (
        <table class="sections">
          <thead>
            <tr>
              <th scope="col" class="text">
                Test, rig time
              </th>
              <th scope="col">{written.label('sampleVolume')}</th>
              <th scope="col">s</th>
              <th scope="col" class="text">
                coupon
              </th>
              <th scope="col" class="text">
                result
              </th>
            </tr>
          </thead>
          <tbody>
            {fluid.tests.map((test) => (
              <tr key={test.at}>
                <th scope="row" class="text">
                  {rigDay(test.at)}
                </th>
                <td>{written.of('sampleVolume', test.volume, 2)}</td>
                <td>{decimal(test.seconds, 0)}</td>
                <td class="text">{test.coupon}</td>
                <td class="text">
                  <Mark name={test.result === 'passed' ? 'done' : 'short'} size={14} /> {test.result}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </Part>
  );
}
