/** Every bound that a plan sets, in the order of the limits sheet, each with where in the plan it stands. */
import { percent } from '../figures.ts';
import type { DefaultPlace } from '../plan/defaults.ts';
import type { Job, Recipe } from '../plan/job.ts';
import type { ExpandedKind } from '../plan/planSchema.ts';
import type { Quantity } from '../units.ts';
import { type Facts, inside, unitOf } from './facts.ts';

export interface LimitRow {
  readonly group: string;
  readonly name: string;
  readonly unit: string;
  /** As it is written; a dash where none applies. */
  readonly value: string;
  /** A listed default stood in for it. */
  readonly isDefault: boolean;
}

type Writer = (name: string, quantity: Quantity, value: number, decimals?: number) => LimitRow;

const DOES_NOT_APPLY = 'does not apply';

function writerOf(facts: Facts, group: string): Writer {
  return (name, quantity, value, decimals) => ({
    group,
    name,
    unit: unitOf(facts, quantity),
    value: Number.isFinite(value) ? inside(facts, quantity, value, decimals) : DOES_NOT_APPLY,
    isDefault: false,
  });
}

function recipeRows(facts: Facts, job: Job, kind: ExpandedKind, recipe: Recipe): LimitRow[] {
  const group = `Recipe: ${kind}`;
  const write = writerOf(facts, group);
  const system = facts.units.system;
  const tools = recipe.tools.map((tool) => job.tools[tool]!.name).join(', ');
  const at = recipe.pressureAt === 'tool' ? 'at the tool' : 'at the standpipe';
  return [
    { group, name: 'tools that expand', unit: '', value: tools, isDefault: false },
    write(`pressure ${at}, least`, 'pressure', recipe.pressureMinKpa),
    write(`pressure ${at}, most`, 'pressure', recipe.pressureMaxKpa),
    write('rotation, least', 'rotation', recipe.rpmMin),
    write('feed, most', 'feed', recipe.feedMaxMPerMin),
    write('feed per turn, most', 'diameter', recipe.feedPerTurnMaxM * 1000, system === 'metric' ? 1 : 3),
    write('torque, most', 'torque', recipe.torqueMaxKnm),
  ];
}

function acceptanceRows(facts: Facts, job: Job): LimitRow[] {
  const group = 'Acceptance';
  return [
    { group, name: 'coverage, least', unit: '%', value: percent(job.acceptance.coverage), isDefault: false },
    writerOf(facts, group)('longest gap, most', 'length', job.acceptance.longestGapM),
  ];
}

const seconds = (ms: number): number => ms / 1000;

function safetyRows(facts: Facts, job: Job): LimitRow[] {
  const { limits, defaults } = job.engineering;
  const group = 'Limits';
  const write = writerOf(facts, group);
  const share = (name: string, value: number, place: DefaultPlace): LimitRow => ({
    group,
    name,
    unit: '%',
    value: Number.isFinite(value) ? percent(value) : DOES_NOT_APPLY,
    isDefault: defaults.includes(place),
  });
  const time = (name: string, ms: number): LimitRow => ({ ...write(name, 'count', seconds(ms)), unit: 's' });
  const orDefault = (row: LimitRow, place: DefaultPlace): LimitRow => ({ ...row, isDefault: defaults.includes(place) });
  return [
    write('hookload, most', 'force', limits.hookloadMaxKn),
    write('standpipe pressure, most', 'pressure', limits.standpipeMaxKpa),
    write(
      'equivalent circulating density, most',
      'density',
      limits.ecdMaxKgPerM3,
      facts.units.system === 'metric' ? 0 : 2,
    ),
    write('overpull, most', 'force', limits.overpullMaxKn),
    write('set-down, most', 'force', limits.setDownMaxKn),
    time('rolling at one depth, longest', limits.dwellMs),
    time('string still, longest', limits.stationaryMs),
    write('overlap after a stop, least', 'length', limits.overlapMinM > 0 ? limits.overlapMinM : Number.NaN),
    write('pressure over a threaded connection, most', 'pressure', limits.connectionPressureMaxKpa),
    write('stall: feed below', 'feed', job.stall?.feedMPerMin ?? Number.NaN),
    time('stall: for', job.stall?.ms ?? Number.NaN),
    orDefault(write('gain of the active tank', 'volume', limits.tankGainM3, 1), 'limits.tanks.gain'),
    orDefault(write('loss from the active tank', 'volume', limits.tankLossM3, 1), 'limits.tanks.loss'),
    share('flow out apart from flow in', limits.flowDifferenceShare, 'limits.flowDifference.share'),
    share('two pressures at the tool apart', limits.driftShare, 'limits.drift.share'),
    share('flow and stroke rate apart', limits.pumpMismatchShare, 'limits.pumpMismatch.share'),
    share('swing of torque', limits.stickSlipShare, 'limits.stickSlip.share'),
    time('no valid sample: a gap after', job.stream.gapAfterMs),
  ];
}

/** The same rows for every plan, whatever it leaves out, so that the versions of a plan stand side by side. */
export function limitRows(facts: Facts, job: Job): LimitRow[] {
  const none = (kind: ExpandedKind): LimitRow[] => [
    { group: `Recipe: ${kind}`, name: 'recipe', unit: '', value: 'none', isDefault: false },
  ];
  const { isolation, screen } = job.recipes;
  return [
    ...(isolation ? recipeRows(facts, job, 'isolation', isolation) : none('isolation')),
    ...(screen ? recipeRows(facts, job, 'screen', screen) : none('screen')),
    ...acceptanceRows(facts, job),
    ...safetyRows(facts, job),
  ];
}
