/**
 * Runs side by side: how joints of one kind were expanded, by zone, hole and run, and which one is unlike its kind.
 *
 * U1 Joints that are to be expanded and that a tool has swept are compared, each with those of its own kind.
 * U2 A joint is unlike its kind where its modified z-score is beyond 3.5 (Iglewicz and Hoaglin 1993), the kind has at least
 *    `LEAST_JOINTS`, and the difference is one that matters (`Measure.floor`).
 */
import { checkPlan } from '../check/checkPlan.ts';
import type { CaliperReading } from '../engineering/caliperLog.ts';
import { median, modifiedZScores, OUTLIER_SCORE, robustSigma } from '../engineering/robust.ts';
import type { Job } from '../plan/job.ts';
import { EXPANDED_KINDS, type ExpandedKind } from '../plan/planSchema.ts';
import type { RunRecord } from '../record/recordSchema.ts';
import { SYSTEM_UNITS, UNITS } from '../units.ts';
import { MEASURE_NAMES, MEASURES, type MeasureName, measuresOf } from './measures.ts';
import { GROUPINGS, type HoleClass, type JointRow, TOGETHER_LIMITS, type Together } from './togetherSchema.ts';

/** With fewer there is no telling what is usual. */
export const LEAST_JOINTS = 5;

export interface RunBeside {
  readonly id: string;
  readonly name: string;
  readonly record: RunRecord;
  /** Class of the hole by joint, where a caliper log is known. */
  readonly holes: ReadonlyMap<string, HoleClass>;
}

/** A share of a joint's length that is smaller is no more than a step or two of the log. */
const LEAST_SHARE = 0.02;

/** What the hole is along each joint whose tool has a range: in gauge, or what it is where it is not. */
export function holeClasses(job: Job, caliper: CaliperReading | undefined): ReadonlyMap<string, HoleClass> {
  const hole = caliper?.log ? checkPlan(job, { caliper }).hole : null;
  return new Map((hole?.joints ?? []).map((joint) => [joint.joint, holeClass(joint)]));
}

function holeClass({ overGauge, tight, noLog }: { overGauge: number; tight: number; noLog: number }): HoleClass {
  if (noLog > 1 / 2) return 'not logged';
  if (Math.max(overGauge, tight) < LEAST_SHARE) return 'in gauge';
  return overGauge >= tight ? 'over gauge' : 'tight';
}

export function together(runs: readonly RunBeside[]): Together {
  const rows = runs.flatMap(rowsOf);
  const odd = EXPANDED_KINDS.flatMap((kind) => oddOf(rows.filter((row) => row.kind === kind)));
  odd.sort((a, b) => Math.abs(b.score) - Math.abs(a.score));
  return {
    runs: runs.map(({ id, name, record }) => {
      const { from, to } = record.source;
      const own = rows.filter(({ run }) => run === id);
      const expanded = own.filter(({ verdict }) => verdict === 'expanded').length;
      return { id, name, from, to, joints: own.length, expanded };
    }),
    measures: MEASURE_NAMES.map((measure) => {
      const { says, decimals } = MEASURES[measure];
      return { measure, says, unit: unitOf(measure), decimals };
    }),
    joints: rows.slice(0, TOGETHER_LIMITS.joints),
    jointsLeftOut: Math.max(0, rows.length - TOGETHER_LIMITS.joints),
    groups: GROUPINGS.flatMap((by) => groupsOf(rows, by)),
    odd: odd.slice(0, TOGETHER_LIMITS.odd),
    oddLeftOut: Math.max(0, odd.length - TOGETHER_LIMITS.odd),
    rule: `modified z-score beyond ${OUTLIER_SCORE} (Iglewicz and Hoaglin 1993), of at least ${LEAST_JOINTS} joints of a kind`,
  };
}

function rowsOf({ id, record, holes }: RunBeside): JointRow[] {
  return record.joints
    .filter(({ required, passes, feed }) => required > 0 && (passes > 0 || feed !== null))
    .map((joint) => ({
      run: id,
      joint: joint.name,
      kind: joint.kind as ExpandedKind,
      zone: joint.zone ?? null,
      caliper: holes.get(joint.name) ?? null,
      verdict: joint.verdict,
      values: measuresOf(joint, record),
    }));
}

const valuesOf = (rows: readonly JointRow[], measure: MeasureName): number[] =>
  rows.flatMap(({ values }) => values[measure] ?? []);

function groupsOf(rows: readonly JointRow[], by: (typeof GROUPINGS)[number]): Together['groups'] {
  return EXPANDED_KINDS.flatMap((kind) => {
    const own = rows.filter((row) => row.kind === kind);
    const names = [...new Set(own.flatMap((row) => row[by] ?? []))];
    return names.map((name) => {
      const group = own.filter((row) => row[by] === name);
      const spreads = Object.fromEntries(
        MEASURE_NAMES.map((measure) => [measure, spreadOf(valuesOf(group, measure))]),
      ) as Together['groups'][number]['spreads'];
      return { by, kind, name, joints: group.length, spreads };
    });
  });
}

function spreadOf(values: readonly number[]): Together['groups'][number]['spreads'][MeasureName] {
  if (values.length === 0) return null;
  let least = Infinity;
  let most = -Infinity;
  for (const value of values) {
    least = Math.min(least, value);
    most = Math.max(most, value);
  }
  return { count: values.length, median: median([...values]), sigma: robustSigma(values), least, most };
}

/** @param rows of one kind */
function oddOf(rows: readonly JointRow[]): Together['odd'] {
  return MEASURE_NAMES.flatMap((measure) => {
    const known = rows.filter(({ values }) => values[measure] !== null);
    if (known.length < LEAST_JOINTS) return [];
    const values = valuesOf(known, measure);
    const middle = median([...values]);
    const scores = modifiedZScores(values);
    return known.flatMap(({ run, joint, kind }, i) => {
      const [value, score] = [values[i]!, scores[i]!];
      const matters = Math.abs(value - middle) >= MEASURES[measure].floor;
      if (!(Math.abs(score) > OUTLIER_SCORE && matters)) return [];
      const why = whyText(measure, value, middle, kind, known.length);
      return [{ run, joint, kind, measure, value, median: middle, count: known.length, score, why }];
    });
  });
}

function unitOf(measure: MeasureName): string {
  const { quantity, unit } = MEASURES[measure];
  return quantity === 'count' ? unit : UNITS[SYSTEM_UNITS.metric[quantity]].label;
}

function whyText(measure: MeasureName, value: number, middle: number, kind: ExpandedKind, count: number): string {
  const { says, decimals } = MEASURES[measure];
  const unit = unitOf(measure);
  const shown = (of: number): string => `${of.toFixed(decimals)}${unit ? ` ${unit}` : ''}`;
  const way = value > middle ? 'above' : 'below';
  return `${says} ${shown(value)}, ${way} the ${shown(middle)} that is usual of ${count} ${kind} joints`;
}
