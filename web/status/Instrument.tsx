/** One reading: the number, where it lies against its bounds, and the bounds in words. */
import type { Now } from '../../src/live/messages.ts';
import type { Quantity, UnitSystem } from '../../src/units.ts';
import { figure, unitLabel } from '../figures.ts';
import { Mark } from '../Mark.tsx';
import { now, unitSystem } from '../state.ts';
import { type InstrumentName, isAbnormal } from './abnormal.ts';
import { type GaugeBounds, type GaugeMarks, gaugeMarks } from './gaugeScale.ts';

interface InstrumentProps {
  readonly name: InstrumentName;
  readonly label: string;
  readonly quantity: Quantity;
  readonly read: (now: Now) => number | null;
  readonly bounds: (now: Now) => GaugeBounds;
  /** A second, smaller figure that belongs to this one; empty for none. */
  readonly more?: (now: Now, system: UnitSystem) => string;
  /** Whether that second figure is out of its own bound. */
  readonly moreIsBad?: (now: Now) => boolean;
}

const NO_BOUNDS: GaugeBounds = { min: null, max: null };

export function Instrument({ name, label, quantity, read, bounds, more, moreIsBad }: InstrumentProps) {
  const state = now.value;
  const system = unitSystem.value;
  const value = state ? read(state) : null;
  const range = state ? bounds(state) : NO_BOUNDS;
  const marks = gaugeMarks(value, range);
  const abnormal = state !== null && isAbnormal(name, marks.state, state.judgement.state);
  const bad = state !== null && moreIsBad?.(state) === true;
  return (
    <div class={`reading reading-${name}${abnormal ? ' is-abnormal' : ''}`} data-state={marks.state}>
      <h2>
        {label}, {unitLabel(quantity, system)}
      </h2>
      <p class="reading-number">
        <b class="live" data-testid={name}>
          {figure(quantity, value, system)}
        </b>
        {abnormal && <Mark name="bad" size={22} />}
      </p>
      <Gauge marks={marks} />
      <p class="reading-note">{boundsInWords(range, quantity, system)}</p>
      {more && (
        <p class={`reading-more${bad ? ' is-bad' : ''}`} data-testid={`${name}-more`}>
          {bad && <Mark name="bad" size={14} />} {(state && more(state, system)) || '\u00a0'}
        </p>
      )}
    </div>
  );
}

function boundsInWords({ min, max }: GaugeBounds, quantity: Quantity, system: UnitSystem): string {
  if (min !== null && max !== null) {
    return `${figure(quantity, min, system)} to ${figure(quantity, max, system)}`;
  }
  if (min !== null) return `at least ${figure(quantity, min, system)}`;
  if (max !== null) return `at most ${figure(quantity, max, system)}`;
  return 'no bound now';
}

function Gauge({ marks }: { readonly marks: GaugeMarks }) {
  const { bandFrom, bandTo, at, off } = marks;
  return (
    <div class={`gauge${bandTo > bandFrom ? '' : ' is-empty'}`} aria-hidden="true">
      {bandTo > bandFrom && (
        <i class="gauge-band" style={{ left: `${bandFrom * 100}%`, width: `${(bandTo - bandFrom) * 100}%` }} />
      )}
      {at !== null && <i class={`gauge-at${off === 'above' ? ' is-off' : ''}`} style={{ left: `${at * 100}%` }} />}
    </div>
  );
}
