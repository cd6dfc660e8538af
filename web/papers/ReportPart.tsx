/** The printed report: in which units, and where it is to go. */
import { useSignal } from '@preact/signals';
import { apiOf, recorded } from '../recorded.ts';
import { plan, unitSystem } from '../state.ts';

const UNITS = ['metric', 'field'] as const;

export function ReportPart() {
  const units = useSignal(unitSystem.peek());
  const href = apiOf(`report.pdf?units=${units.value}`);
  const file = `report-${recorded.value?.id ?? 'live'}.pdf`;
  return (
    <div class="subjects">
      <section class="subject">
        <h2>Printed report</h2>
        <p>
          Job, plan and liner as run, limits, pressure tests, depth corrections, every joint on its sheet, time, events,
          signatures, and the hash of the record: one PDF, black on white. The signatures are those that stand now.
        </p>
        <fieldset class="papers-choice">
          <legend>Units</legend>
          {UNITS.map((each) => (
            <label key={each}>
              <input
                type="radio"
                name="report-units"
                checked={units.value === each}
                onChange={() => (units.value = each)}
                data-testid={`report-${each}`}
              />{' '}
              {each}
              {plan.value?.units === each && ', as the plan'}
            </label>
          ))}
        </fieldset>
        <p class="papers-orders">
          <a class="papers-order is-first" href={href} download={file} data-testid="report-save">
            Save the report
          </a>
          <a class="papers-order" href={href} target="_blank" rel="noopener" data-testid="report-open">
            Open it to print
          </a>
        </p>
        <p class="papers-small">
          A long run takes some seconds. A single sheet is printed from the page that shows it.
        </p>
      </section>
    </div>
  );
}
