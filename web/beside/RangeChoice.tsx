import type { Signal } from '@preact/signals';
import type { Job } from '../../src/plan/job.ts';
import type { JointRange } from './depthRange.ts';

interface RangeChoiceProps {
  readonly job: Pick<Job, 'joints'>;
  readonly range: Signal<JointRange>;
}

const WHOLE = '';

export function RangeChoice({ job, range }: RangeChoiceProps) {
  const { value } = range;
  const names = job.joints.filter(({ requiredM }) => requiredM > 0).map(({ name }) => name);
  return (
    <fieldset class="range-choice">
      <label>
        Show{' '}
        <select
          data-testid="range-from"
          value={value?.[0] ?? WHOLE}
          onChange={({ currentTarget: { value: name } }) => (range.value = name === WHOLE ? null : [name, name])}
        >
          <option value={WHOLE}>the whole liner</option>
          {names.map((name) => (
            <option key={name}>{name}</option>
          ))}
        </select>
      </label>
      {value && (
        <label>
          to{' '}
          <select
            data-testid="range-to"
            value={value[1]}
            onChange={({ currentTarget }) => (range.value = [value[0], currentTarget.value])}
          >
            {names.map((name) => (
              <option key={name}>{name}</option>
            ))}
          </select>
        </label>
      )}
    </fieldset>
  );
}
