/** A run counted again from its truth under a scenario. The run itself is never touched. */
import type { JournalEntry } from '../journal/journalSchema.ts';
import type { Plan } from '../plan/planSchema.ts';
import { recordOf, type SourceCounts } from '../record/record.ts';
import type { RunRecord } from '../record/recordSchema.ts';
import { converter } from '../units.ts';
import { type Course, type Position, workWhole } from './course.ts';
import type { SampleColumns } from './sampleColumns.ts';
import { changedPlan, type Scenario } from './scenario.ts';
import { type ShownRows, workNoting } from './shownRows.ts';

/**
 * The course that a scenario asks for. A shift moves every depth of the string: what reads it, what the journal sets and
 * what a tag would set; so it stays whatever corrects the depth later.
 * @param scenario without `scenarioProblems` for the course's plan
 */
export function courseUnder(course: Course, scenario: Scenario): Course {
  const units = converter(course.plan.units);
  const planUnder = (plan: Plan): Plan => shiftedTag(changedPlan(plan, scenario), scenario.shift);
  const entryUnder = (entry: JournalEntry): JournalEntry => {
    if (entry.action === 'set depth') return { ...entry, depth: entry.depth + scenario.shift };
    return entry.action === 'change plan' ? { ...entry, plan: planUnder(entry.plan) } : entry;
  };
  const keeps = ({ action }: JournalEntry): boolean => scenario.correction === null || action !== 'set depth';
  return {
    ...course,
    plan: planUnder(course.plan),
    tag: scenario.correction === null ? (scenario.tag ?? course.tag) : 'offer',
    depthOffsetM: course.depthOffsetM + units.in('length', (scenario.correction ?? 0) + scenario.shift),
    entries: course.entries.filter(keeps).map(entryUnder),
  };
}

function shiftedTag(plan: Plan, shift: number): Plan {
  return plan.depthTag ? { ...plan, depthTag: { ...plan.depthTag, depth: plan.depthTag.depth + shift } } : plan;
}

export interface Counted {
  readonly position: Position;
  readonly record: RunRecord;
}

export function countCourse(course: Course, source: SourceCounts): Counted {
  const position = workWhole(course);
  return { position, record: recordOf(position.run, source) };
}

/** A course counted to be looked at beside another: with what was shown at each of its samples. */
export interface CountedSide extends Counted {
  readonly samples: SampleColumns;
  readonly shown: ShownRows;
}

export function countSide(course: Course, source: SourceCounts): CountedSide {
  const { position, shown } = workNoting(course);
  return { position, record: recordOf(position.run, source), samples: course.samples, shown };
}
