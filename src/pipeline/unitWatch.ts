/**
 * A reading that changes its unit: from one sample to the next it stands at the ratio of two units of its quantity, and stays.
 *
 * U1 Before the jump it stood still, as such readings do, and after it as well: a ramp or a spike is none.
 * U2 Every other reading that works goes on as it was, or changes its unit at the same instant: a real change of the work shows
 *    in several readings at once, and never in all of them by ratios of units.
 * U3 Pumps on or the string moving, before and after: a string set into the slips also loses most of its hookload at once.
 * U4 It is over once the reading jumps back.
 */
import type { Sample } from '../channels.ts';
import { CHANNELS } from '../channels.ts';
import type { Job } from '../plan/job.ts';
import { UNITS, type UnitName } from '../units.ts';
import { canMove } from './blockSpeed.ts';
import type { Run } from './runState.ts';

/** Watched channels, the units that sources send them in, and how they behave: shares of the level. */
const WATCHED = {
  standpipePressure: { units: ['kPa', 'psi', 'bar', 'MPa'], steady: 0.08, ratio: 0.05, floor: 50 },
  hookload: { units: ['kN', 'klbf', 't', 'kdaN', 'lbf'], steady: 0.06, ratio: 0.04, floor: 20 },
  // kN·m and kft·lbf are a third apart, which rolling does to the torque by itself: that pair cannot be told.
  torque: { units: ['kN·m', 'ft·lbf'], steady: 0.25, ratio: 0.15, floor: 0.5 },
  flowIn: { units: ['L/min', 'gpm', 'bpm', 'm³/min'], steady: 0.08, ratio: 0.05, floor: 60 },
  flowOut: { units: ['L/min', 'gpm', 'bpm', 'm³/min'], steady: 0.08, ratio: 0.05, floor: 60 },
  bitDepth: { units: ['m', 'ft'], steady: 0.01, ratio: 0.005, floor: 20 },
  blockPosition: { units: ['m', 'ft'], steady: 0.15, ratio: 0.03, floor: 1 },
} as const satisfies Partial<
  Record<keyof Sample, { units: readonly UnitName[]; steady: number; ratio: number; floor: number }>
>;
type Watched = keyof typeof WATCHED;
const NAMES = Object.keys(WATCHED) as Watched[];
const BEHAVIOURS = NAMES.map((name) => ({ steady: WATCHED[name].steady, floor: WATCHED[name].floor }));

interface Ratio {
  readonly factor: number;
  readonly from: UnitName;
  readonly to: UnitName;
}

/** What a reading is multiplied by when the source goes from one unit to another. */
function ratiosOf(units: readonly UnitName[]): Ratio[] {
  return units.flatMap((from) =>
    units.filter((to) => to !== from).map((to) => ({ factor: UNITS[from].scale / UNITS[to].scale, from, to })),
  );
}
const RATIOS = Object.fromEntries(NAMES.map((name) => [name, ratiosOf(WATCHED[name].units)])) as Record<
  Watched,
  Ratio[]
>;

/** Readings that make a level. */
const LEVEL = 6;
/** The jump is proven by so many readings after it, most of them at the new level. */
const PROOF = 6;
const AGREE = 5;
/** Most time between the two samples of a jump, ms. */
const HOLE_MS = 16_000;
const PUMPED_L_PER_MIN = 60;
const PUMPED_KPA = 1500;
/** Movement of the string that shows that it is out of the slips, m. */
const MOVED_M = 0.1;

export interface Reading {
  /** The last few, each new one in the place of the oldest. */
  recent: number[];
  /** Index of the newest. */
  newest: number;
  atMs: number;
  /** The unit change that is looked into: its ratio, 1 for none, when, and the level it started from. */
  ratio: number;
  sinceMs: number;
  expected: number;
  seen: number;
  agreed: number;
  /** The change that stands: since when, ms, NaN for none, and what it is. */
  changedMs: number;
  changedBy: number;
  units: string;
}

export interface UnitWatch {
  readings: Record<Watched, Reading>;
  /** Since when the first of the channels has been in another unit, ms; NaN: none is. */
  changedMs: number;
}

const reading = (): Reading => ({
  recent: [],
  newest: -1,
  atMs: Number.NaN,
  ratio: 1,
  sinceMs: Number.NaN,
  expected: Number.NaN,
  seen: 0,
  agreed: 0,
  changedMs: Number.NaN,
  changedBy: 1,
  units: '',
});

export function createUnitWatch(_job: Job): UnitWatch {
  return {
    readings: {
      standpipePressure: reading(),
      hookload: reading(),
      torque: reading(),
      flowIn: reading(),
      flowOut: reading(),
      bitDepth: reading(),
      blockPosition: reading(),
    },
    changedMs: Number.NaN,
  };
}

type Step = 'same' | 'unit' | 'other' | 'unknown';
/** Of the sample underway, in the order of `NAMES`: by index, since names looked up for every sample take their time. */
const values = new Float64Array(NAMES.length);
const states: Reading[] = [];
const steps: Step[] = NAMES.map(() => 'unknown');

function lineUp(readings: UnitWatch['readings'], sample: Sample): void {
  values[0] = sample.standpipePressure;
  values[1] = sample.hookload;
  values[2] = sample.torque;
  values[3] = sample.flowIn;
  values[4] = sample.flowOut;
  values[5] = sample.bitDepth;
  values[6] = sample.blockPosition;
  states[0] = readings.standpipePressure;
  states[1] = readings.hookload;
  states[2] = readings.torque;
  states[3] = readings.flowIn;
  states[4] = readings.flowOut;
  states[5] = readings.bitDepth;
  states[6] = readings.blockPosition;
}

export function advanceUnitWatch(run: Run, sample: Sample): void {
  const watch = run.unitWatch;
  const { readings } = watch;
  const atMs = sample.sourceMs;
  lineUp(readings, sample);
  let jumps = false;
  let others = false;
  let proving = false;
  for (let i = 0; i < values.length; i += 1) {
    const state = states[i]!;
    const step = stepOf(i, state, values[i]!, atMs);
    steps[i] = step;
    if (step === 'unit') jumps = true;
    else if (step === 'other') others = true;
    if (state.ratio !== 1) proving = true;
  }
  // A pressure that shears or is let off while the hanger is set falls by any ratio.
  if (jumps && !others && run.hanger.phase === null && isAtWork(readings)) {
    for (let i = 0; i < values.length; i += 1) if (steps[i] === 'unit') suspect(i, states[i]!, values[i]!, atMs);
    proving = true;
  }
  for (let i = 0; i < values.length; i += 1) remember(states[i]!, values[i]!, atMs);
  if (!proving) return;
  for (let i = 0; i < values.length; i += 1) if (states[i]!.ratio !== 1) prove(readings, i, states[i]!, values[i]!);
  watch.changedMs = firstChanged(readings);
}

const middle = (recent: readonly number[]): number => {
  // Six values at most: the mean of the two in the middle after a plain sort.
  const sorted = [...recent].sort((a, b) => a - b);
  return (sorted[(LEVEL >> 1) - 1]! + sorted[LEVEL >> 1]!) / 2;
};

/** How the newest value follows from those before. Most samples leave after the first comparison. */
function stepOf(channel: number, state: Reading, value: number, atMs: number): Step {
  const { recent } = state;
  if (Number.isNaN(value) || recent.length < LEVEL) return 'unknown';
  const { steady, floor } = BEHAVIOURS[channel]!;
  const last = recent[state.newest]!;
  // A reading of nothing is the same as long as it stays one.
  if (Math.abs(last) < floor && Math.abs(value) < floor && state.changedBy === 1) return 'same';
  if (Math.abs(value - last) <= 2 * steady * Math.abs(last)) return 'same';
  return isUnitStep(NAMES[channel]!, state, value, atMs) ? 'unit' : 'other';
}

function isUnitStep(name: Watched, state: Reading, value: number, atMs: number): boolean {
  const { recent } = state;
  const { steady } = WATCHED[name];
  if (atMs - state.atMs > HOLE_MS || state.ratio !== 1) return false;
  const level = middle(recent);
  // U1
  for (const one of recent) if (Math.abs(one - level) > steady * Math.abs(level)) return false;
  const moves = name === 'bitDepth' || name === 'blockPosition';
  if (moves && canMove(value - level, atMs - state.atMs)) return false;
  return Math.abs(level) >= levelFloor(name, state) && ratioOf(name, value / level) !== undefined;
}

/** A unit of a tenth of the usual one makes a tenth of the reading: the floor goes with it. */
const levelFloor = (name: Watched, state: Reading): number => WATCHED[name].floor * Math.min(1, state.changedBy);

function ratioOf(name: Watched, ratio: number): Ratio | undefined {
  const tolerance = WATCHED[name].ratio;
  let best: Ratio | undefined;
  for (const one of RATIOS[name]) {
    const off = Math.abs(ratio / one.factor - 1);
    if (off <= tolerance && (!best || off < Math.abs(ratio / best.factor - 1))) best = one;
  }
  return best;
}

/** U3, by the last few readings. */
function isAtWork(readings: UnitWatch['readings']): boolean {
  const flow = readings.flowIn.recent;
  const pressure = readings.standpipePressure.recent;
  const { recent: depth, newest } = readings.bitDepth;
  const pumped =
    (flow.length === LEVEL && Math.min(...flow) > PUMPED_L_PER_MIN * Math.min(1, readings.flowIn.changedBy)) ||
    (pressure.length === LEVEL && Math.min(...pressure) > PUMPED_KPA);
  return pumped || (depth.length === LEVEL && Math.abs(depth[newest]! - depth[(newest + 1) % LEVEL]!) > MOVED_M);
}

function suspect(channel: number, state: Reading, value: number, atMs: number): void {
  const level = middle(state.recent);
  const ratio = ratioOf(NAMES[channel]!, value / level)!;
  state.ratio = ratio.factor;
  state.sinceMs = atMs;
  state.expected = level * ratio.factor;
  state.seen = 0;
  state.agreed = 0;
  if (Number.isNaN(state.changedMs)) state.units = `${UNITS[ratio.from].label} to ${UNITS[ratio.to].label}`;
}

/** The readings after a jump stay where it went: then it is a change of unit, or the end of one. */
function prove(readings: UnitWatch['readings'], channel: number, state: Reading, value: number): void {
  if (Number.isNaN(value)) return;
  state.seen += 1;
  const { steady } = BEHAVIOURS[channel]!;
  if (Math.abs(value - state.expected) <= 2 * steady * Math.abs(state.expected)) {
    state.agreed += 1;
    // Slow drift goes on in the new unit.
    state.expected += 0.3 * (value - state.expected);
  }
  if (state.seen < PROOF) return;
  if (state.agreed >= AGREE && isAtWork(readings)) {
    const total = state.changedBy * state.ratio;
    const isBack = Math.abs(total - 1) < 0.02;
    state.changedMs = isBack ? Number.NaN : Number.isNaN(state.changedMs) ? state.sinceMs : state.changedMs;
    state.changedBy = isBack ? 1 : total;
  }
  state.ratio = 1;
}

function remember(state: Reading, value: number, atMs: number): void {
  if (Number.isNaN(value)) return;
  const { recent } = state;
  if (atMs - state.atMs > HOLE_MS) {
    recent.length = 0;
    state.newest = -1;
  }
  const at = state.newest === LEVEL - 1 ? 0 : state.newest + 1;
  if (at < recent.length) recent[at] = value;
  else recent.push(value);
  state.newest = at;
  state.atMs = atMs;
}

function firstChanged(readings: UnitWatch['readings']): number {
  let first = Number.NaN;
  for (const name of NAMES) {
    const { changedMs } = readings[name];
    if (!Number.isNaN(changedMs) && !(changedMs >= first)) first = changedMs;
  }
  return first;
}

export function changedWords(watch: UnitWatch): string {
  return NAMES.filter((name) => !Number.isNaN(watch.readings[name].changedMs))
    .map((name) => {
      const { changedBy, units } = watch.readings[name];
      return `${CHANNELS[name].label} jumped to ${changedBy.toPrecision(4)} times what it was, as from ${units}`;
    })
    .join('; ');
}
