/** A report's input made ready to be drawn: the record in the units to show, numbers and instants as they are written. */
import { decimal, figure, offsetLabel, rigDate, rigTime, shownDecimals, UNKNOWN } from '../figures.ts';
import type { Run } from '../pipeline/run.ts';
import type { Job } from '../plan/job.ts';
import { recordOf, type SourceCounts } from '../record/record.ts';
import type { RecordJoint, RunRecord } from '../record/recordSchema.ts';
import { type Pass, passesOf } from '../replay/passes.ts';
import { converter, type Quantity, type UnitSystem, type UnitSystemConverter } from '../units.ts';
import type { ReportInput } from './reportInput.ts';

export interface Facts {
  readonly input: ReportInput;
  readonly run: Run;
  readonly job: Job;
  readonly units: UnitSystemConverter;
  /** In the units to show. */
  readonly record: RunRecord;
  /** By index in the job. */
  passes(joint: number): readonly Pass[];
}

/** The record of a run in other units than its plan's. */
export const recordInUnits = (run: Run, source: SourceCounts, units: UnitSystem): RunRecord =>
  recordOf({ ...run, job: { ...run.job, units } }, source);

export function factsOf(input: ReportInput): Facts {
  const { worked, source, units } = input;
  const { run } = worked.position;
  const passes = new Map<number, readonly Pass[]>();
  return {
    input,
    run,
    job: run.job,
    units: converter(units),
    record: recordInUnits(run, source, units),
    passes(joint) {
      const known =
        passes.get(joint) ?? passesOf({ samples: worked.course.samples, shown: worked.columns, job: run.job }, joint);
      passes.set(joint, known);
      return known;
    },
  };
}

/** A value in its inside unit, as it is written; a bound that does not apply is a dash. */
export const inside = (
  { units }: Facts,
  quantity: Quantity,
  value: number | null | undefined,
  decimals?: number,
): string => figure(quantity, value, units.system, decimals);

/** A value that is in the units to show already. */
export const shown = (
  { units }: Facts,
  quantity: Quantity,
  value: number | null | undefined,
  decimals?: number,
): string =>
  value === null || value === undefined || !Number.isFinite(value)
    ? UNKNOWN
    : decimal(value, decimals ?? shownDecimals(quantity, units.system));

export const unitOf = ({ units }: Facts, quantity: Quantity): string => units.label(quantity);

/** With its unit, for running text. */
export const insideWithUnit = (facts: Facts, quantity: Quantity, value: number, decimals?: number): string =>
  `${inside(facts, quantity, value, decimals)} ${unitOf(facts, quantity)}`.trim();

const offsetMs = ({ job }: Facts): number => job.stream.utcOffsetMs;

export const timeOf = (facts: Facts, ms: number): string =>
  Number.isFinite(ms) ? rigTime(ms, offsetMs(facts)) : UNKNOWN;
export const dateTimeOf = (facts: Facts, ms: number): string =>
  Number.isFinite(ms) ? `${rigDate(ms, offsetMs(facts))} ${timeOf(facts, ms)}` : UNKNOWN;
export const zoneOf = (facts: Facts): string => offsetLabel(offsetMs(facts));

export const utcOf = (ms: number): string => `${rigDate(ms, 0)} ${rigTime(ms, 0)} UTC`;

export { lasted } from '../lasted.ts';

/** Where on the live screen an instant is looked at. */
export const traceLink = (ms: number, joint?: string | null): string | undefined =>
  Number.isFinite(ms)
    ? `#at=${new Date(Math.round(ms)).toISOString()}${joint ? `&joint=${encodeURIComponent(joint)}` : ''}`
    : undefined;

export const jointKey = (name: string): string => `joint/${name}`;

export const shownJoint = ({ record }: Facts, name: string): RecordJoint =>
  record.joints.find((one) => one.name === name)!;

/** To be expanded, top down. */
export const expandedJoints = ({ job }: Facts): Job['joints'] => job.joints.filter(({ requiredM }) => requiredM > 0);
