/** What is to be changed. Numbers are in the units of the plan, since they stand in it. */
import { useSignal } from '@preact/signals';
import type { Plan } from '../../src/plan/planSchema.ts';
import { CHANGES, type ChangeKind } from '../../src/replay/changes.ts';
import { emptyScenario, SCENARIO_LIMITS, type Scenario } from '../../src/replay/scenario.ts';
import { SYSTEM_UNITS, UNITS } from '../../src/units.ts';
import { plan } from '../state.ts';
import { begin, draft } from './whatIfState.ts';

const change = (to: Partial<Scenario>): void => {
  draft.value = { ...draft.peek(), ...to };
};

/** The record with one entry more, another, or, without a value, one less. */
function withValue(of: Readonly<Record<string, number>>, name: string, value: number | null): Record<string, number> {
  const { [name]: _, ...rest } = of;
  return value === null ? rest : { ...rest, [name]: value };
}

const numberIn = (text: string): number | null => {
  const value = Number(text.replace(',', '.'));
  return text.trim() === '' || !Number.isFinite(value) ? null : value;
};

export function ChangesForm({ onCount }: { readonly onCount: () => void }) {
  const under = plan.value;
  if (!under) return <p>No plan yet.</p>;
  const length = UNITS[SYSTEM_UNITS[under.units].length].label;
  const { name, shift, correction, tag } = draft.value;
  const shown = [...CHANGES].filter(([, kind]) => kind.of(under) !== undefined);
  return (
    <form
      class="changes"
      onSubmit={(event) => {
        event.preventDefault();
        onCount();
      }}
    >
      <label class="change-name">
        Name{' '}
        <input
          data-testid="what-if-name"
          maxLength={SCENARIO_LIMITS.nameChars}
          required
          value={name}
          onInput={(event) => change({ name: event.currentTarget.value })}
        />
      </label>
      <fieldset>
        <legend>Depth</legend>
        <NumberField
          label={`Shift everything by, ${length}`}
          testid="what-if-shift"
          step={0.1}
          value={shift === 0 ? null : shift}
          plain="0"
          onValue={(value) => change({ shift: value ?? 0 })}
        />
        <NumberField
          label={`Correction throughout, ${length}`}
          step={0.1}
          value={correction}
          plain="as made"
          onValue={(value) => change({ correction: value })}
        />
        <label class="change">
          <span>Depth tag</span>
          <select
            value={tag ?? ''}
            onChange={(event) => change({ tag: (event.currentTarget.value || null) as Scenario['tag'] })}
          >
            <option value="">as on the run</option>
            <option value="apply">applied when seen</option>
            <option value="offer">not applied</option>
          </select>
        </label>
        <LengthField plan={under} unit={length} />
      </fieldset>
      <fieldset>
        <legend>Bounds, limits, acceptance</legend>
        {shown.map(([id, kind]) => (
          <BoundField key={id} id={id} kind={kind} plan={under} />
        ))}
      </fieldset>
      <div class="change-keys">
        <button type="submit" class="is-first" data-testid="what-if-count">
          Count again
        </button>
        <button type="button" onClick={() => begin(emptyScenario('What if'), null)}>
          Clear
        </button>
      </div>
    </form>
  );
}

function BoundField({
  id,
  kind,
  plan: under,
}: {
  readonly id: string;
  readonly kind: ChangeKind;
  readonly plan: Plan;
}) {
  const unit = UNITS[SYSTEM_UNITS[under.units][kind.quantity]].label;
  const isShare = kind.quantity === 'fraction';
  return (
    <NumberField
      label={unit && !isShare ? `${kind.label}, ${unit}` : kind.label}
      testid={`what-if-${id}`}
      value={draft.value.bounds[id] ?? null}
      plain={String(kind.of(under))}
      onValue={(value) => change({ bounds: withValue(draft.peek().bounds, id, value) })}
    />
  );
}

function LengthField({ plan: under, unit }: { readonly plan: Plan; readonly unit: string }) {
  const chosen = useSignal(Object.keys(draft.peek().lengths)[0] ?? under.liner.joints[0]!.name);
  const joint = under.liner.joints.find(({ name }) => name === chosen.value);
  return (
    <div class="change">
      <label>
        Length of{' '}
        <select value={chosen.value} onChange={(event) => (chosen.value = event.currentTarget.value)}>
          {under.liner.joints.map(({ name }) => (
            <option key={name}>{name}</option>
          ))}
        </select>{' '}
        {unit}
      </label>
      <input
        type="text"
        inputMode="decimal"
        aria-label={`Length of ${chosen.value}`}
        placeholder={String(joint?.length ?? '')}
        value={draft.value.lengths[chosen.value] ?? ''}
        onChange={(event) =>
          change({ lengths: withValue(draft.peek().lengths, chosen.value, numberIn(event.currentTarget.value)) })
        }
      />
    </div>
  );
}

interface NumberFieldProps {
  readonly label: string;
  readonly value: number | null;
  /** Stands in the empty field: what the plan or the run says. */
  readonly plain: string;
  readonly step?: number;
  readonly testid?: string;
  readonly onValue: (value: number | null) => void;
}

function NumberField({ label, value, plain, step, testid, onValue }: NumberFieldProps) {
  const nudge = (by: number): void => onValue(Math.round(((value ?? 0) + by) * 1000) / 1000);
  return (
    <div class={`change${value === null ? '' : ' is-changed'}`}>
      <label>
        <span>{label}</span>{' '}
        <input
          type="text"
          inputMode="decimal"
          data-testid={testid}
          placeholder={plain}
          value={value ?? ''}
          onChange={(event) => onValue(numberIn(event.currentTarget.value))}
        />
      </label>
      {step !== undefined && (
        <span class="nudge">
          <button type="button" aria-label={`${label}: less`} onClick={() => nudge(-step)}>
            −
          </button>
          <button type="button" aria-label={`${label}: more`} onClick={() => nudge(step)}>
            +
          </button>
        </span>
      )}
    </div>
  );
}
