/**
 * What is signed, as text: all that a signer sees of one subject, in parts, the same bytes for the same facts.
 *
 * S1 A line for each value (`flatLines`), numbers as the record has them, in the plan's units, which are named.
 * S2 What came behind the last sample that the signer saw is no part of it: events and steps that began later, ends of events,
 *    acknowledgements and notes that bear a later instant. How a step came out that was open is, and so is what people decide or
 *    put right later on what was signed: that breaks the signature.
 * S3 What goes on changing with the readings by itself stands in the part `as seen`, which the signature keeps (`Seen`).
 */
import type { HandoverEntry, HandoverRemarksEntry } from '../handover/handoverEntry.ts';
import type { JournalEntry } from '../journal/journalSchema.ts';
import type { Plan } from '../plan/planSchema.ts';
import type { RecordJoint, RunRecord } from '../record/recordSchema.ts';
import type { TimeCodeEntry } from '../time/timeEntry.ts';
import { flatLines } from './flatLines.ts';
import type { Seen } from './signEntry.ts';
import { SUBJECTS, type SubjectName } from './subjects.ts';

const FORMAT = 'jointwise-signed/1';

/** The run as it stands: the plan in force, the record, all that people did. */
export interface SignBasis {
  readonly plan: Plan;
  readonly record: RunRecord;
  readonly entries: readonly JournalEntry[];
}

export interface SignedPart {
  readonly name: string;
  readonly lines: readonly string[];
}

export interface SignedText {
  readonly subject: SubjectName;
  readonly of: string | null;
  readonly parts: readonly SignedPart[];
  /** Undefined where nothing of it goes on changing by itself. */
  readonly seen: Seen | undefined;
  readonly text: string;
}

/** @param seen what the signer saw; left out: what is seen now @returns null where there is no such joint or handover */
export function signedText(
  subject: SubjectName,
  of: string | null,
  basis: SignBasis,
  seen?: Seen | undefined,
): SignedText | null {
  if ((SUBJECTS[subject].of === null) !== (of === null)) return null;
  const parts = partsOf(subject, of, basis, seen);
  if (parts === null) return null;
  const known = seen ?? seenNow(subject, of, basis);
  const all = [headPart(subject, of, basis), ...parts];
  if (known) all.push({ name: 'as seen', lines: [`through = "${known.through}"`, ...known.lines] });
  const text = all.map(({ name, lines }) => `[${name}]\n${lines.map((line) => `${line}\n`).join('')}`).join('\n');
  return { subject, of, parts: all, seen: known, text };
}

function headPart(subject: SubjectName, of: string | null, { plan, record }: SignBasis): SignedPart {
  const { well, rig } = plan.job ?? {};
  const head = {
    format: FORMAT,
    subject,
    of: of ?? undefined,
    well,
    rig,
    units: plan.units,
    begun: record.source.from,
  };
  return { name: 'head', lines: flatLines(head) };
}

function partsOf(
  subject: SubjectName,
  of: string | null,
  basis: SignBasis,
  seen: Seen | undefined,
): SignedPart[] | null {
  const through = seen?.through ?? basis.record.source.to;
  switch (subject) {
    case 'limits':
      return limitParts(basis);
    case 'depth correction':
      return depthParts(basis, through);
    case 'pressure tests':
      return testParts(basis, through);
    case 'release':
      return releaseParts(basis, through);
    case 'joint':
      return jointParts(basis, of!, through);
    case 'record':
      return recordParts(basis, through);
    case 'handover':
      return handoverParts(basis, Number(of));
  }
}

const part = (name: string, value: unknown): SignedPart => ({ name, lines: flatLines(value) });

/** Parts of the plan that say what may be done with tool, string and hole; those that the plan has. */
const LIMIT_KEYS = [
  'recipes',
  'acceptance',
  'limits',
  'tools',
  'surface',
  'flowPath',
  'depthTag',
  'balls',
  'hanger',
  'screenTests',
] as const satisfies readonly (keyof Plan)[];

function limitParts({ plan, record }: SignBasis): SignedPart[] {
  const parts = LIMIT_KEYS.flatMap((key) => (plan[key] === undefined ? [] : [part(key, plan[key])]));
  return [...parts, part('defaults to be confirmed', record.defaults ?? [])];
}

const within = (at: string, through: string): boolean => Date.parse(at) <= Date.parse(through);

type RecordStep = NonNullable<RunRecord['steps']>[number];
type RecordEvent = RunRecord['events'][number];

/** Steps of some kinds, all where none are named. */
function stepsThrough({ steps = [] }: RunRecord, through: string, kinds?: readonly RecordStep['kind'][]): RecordStep[] {
  return steps.filter((step) => within(step.from, through) && (!kinds || kinds.includes(step.kind)));
}

function eventsThrough(events: readonly RecordEvent[], through: string): RecordEvent[] {
  return events
    .filter(({ from }) => within(from, through))
    .map(({ acknowledged, ...event }) => {
      const open = event.to === null || !within(event.to, through);
      // What is said of an event that goes on changes until it ends.
      const known = open ? { ...event, to: null, detail: '' } : event;
      return acknowledged && within(acknowledged.at, through) ? { ...known, acknowledged } : known;
    });
}

function depthParts({ plan, record, entries }: SignBasis, through: string): SignedPart[] {
  const { depth } = record;
  return [
    part('tools', plan.tools),
    part('depth tag of the plan', plan.depthTag ?? null),
    part('depth', depth ? { corrected: depth.corrected, correction: depth.correction } : null),
    part('corrections', corrections(entries)),
    part('tags', stepsThrough(record, through, ['depth tag'])),
  ];
}

const corrections = (entries: readonly JournalEntry[]): unknown[] =>
  entries.flatMap((entry) =>
    entry.action === 'set depth' ? [{ at: entry.at, by: entry.by, tool: entry.tool, depth: entry.depth }] : [],
  );

function testParts({ plan, record }: SignBasis, through: string): SignedPart[] {
  const about: readonly RecordEvent['kind'][] = ['test not passed'];
  return [
    part('hanger of the plan', plan.hanger ?? null),
    part('steps', stepsThrough(record, through, ['ball', 'pressure step', 'annulus test', 'sub opened'])),
    part('events', ofKinds(record, about, through)),
  ];
}

function releaseParts({ plan, record }: SignBasis, through: string): SignedPart[] {
  return [
    part('hanger of the plan', plan.hanger ?? null),
    part('steps', stepsThrough(record, through, ['push and pull', 'release'])),
    part('events', ofKinds(record, ['hanger moved'], through)),
  ];
}

const ofKinds = ({ events }: RunRecord, kinds: readonly RecordEvent['kind'][], through: string): RecordEvent[] =>
  eventsThrough(
    events.filter(({ kind }) => kinds.includes(kind)),
    through,
  );

const jointPart = ({ uncertainty: _, couldBe: __, ...joint }: RecordJoint): SignedPart =>
  part(`joint ${joint.name}`, joint);

function jointParts({ plan, record }: SignBasis, name: string, through: string): SignedPart[] | null {
  const joint = record.joints.find((one) => one.name === name);
  const planned = plan.liner.joints.find((one) => one.name === name);
  if (!joint || !planned) return null;
  const recipe = joint.kind === 'isolation' || joint.kind === 'screen' ? plan.recipes[joint.kind] : undefined;
  const events = record.events.filter((event) => event.joint === name);
  return [
    part('as planned', planned),
    part('recipe', recipe ?? null),
    part('acceptance', plan.acceptance ?? null),
    jointPart(joint),
    part('events', eventsThrough(events, through)),
  ];
}

function recordParts({ plan, record, entries }: SignBasis, through: string): SignedPart[] {
  const { depth, journal = [] } = record;
  return [
    ...Object.keys(plan)
      .sort()
      .map((key) => part(`plan ${key}`, plan[key as keyof Plan])),
    ...record.joints.map(jointPart),
    part('events', eventsThrough(record.events, through)),
    part('steps', stepsThrough(record, through)),
    part('depth', depth ? { corrected: depth.corrected, correction: depth.correction } : null),
    part('corrections', corrections(entries)),
    part('defaults to be confirmed', record.defaults ?? []),
    part('turned off', record.turnedOff ?? []),
    part(
      'journal',
      journal.filter(({ at }) => within(at, through)),
    ),
  ];
}

function handoverParts({ entries }: SignBasis, number: number): SignedPart[] | null {
  const closed = entries.find(
    (entry): entry is HandoverEntry => entry.action === 'handover' && entry.number === number,
  );
  if (!closed) return null;
  const { from, to, by, at, page } = closed;
  const { remarks: _, ...rest } = page;
  const causes = laterCauses(closed, entries).map(({ action: __, ...said }) => said);
  return [
    part('closed', { number, from, to, by, at }),
    ...Object.keys(rest)
      .sort()
      .map((key) => part(key, rest[key])),
    part('remarks', remarksOf(closed, entries)),
    ...(causes.length > 0 ? [part(LATER_CAUSES, causes)] : []),
  ];
}

export const LATER_CAUSES = 'causes said later';

/** Causes of time lost in the period that were said when it had been handed over: the page does not have them. */
export function laterCauses({ number, from, to }: HandoverEntry, entries: readonly JournalEntry[]): TimeCodeEntry[] {
  const closed = entries.findIndex((entry) => entry.action === 'handover' && entry.number === number);
  const [fromMs, toMs] = [Date.parse(from), Date.parse(to)];
  return entries
    .slice(closed + 1)
    .filter((entry): entry is TimeCodeEntry => entry.action === 'time code')
    .filter((said) => Date.parse(said.from) < toMs && Date.parse(said.to) > fromMs);
}

/** The remarks of a closed handover: those that it was closed with, or what was said in their place later. */
export function remarksOf({ number, page }: HandoverEntry, entries: readonly JournalEntry[]): string {
  const later = entries.filter(
    (entry): entry is HandoverRemarksEntry => entry.action === 'handover remarks' && entry.handover === number,
  );
  return later.at(-1)?.text ?? (typeof page.remarks === 'string' ? page.remarks : '');
}

/** S3. */
function seenNow(subject: SubjectName, of: string | null, { record }: SignBasis): Seen | undefined {
  const through = record.source.to;
  const joint = ({ name, uncertainty, couldBe }: RecordJoint) => flatLines({ uncertainty, couldBe }, `joint ${name}`);
  switch (subject) {
    case 'depth correction':
      return { through, lines: flatLines({ uncertainty: record.depth?.uncertainty ?? null }) };
    case 'pressure tests':
    case 'release':
      return { through, lines: [] };
    case 'joint':
      return { through, lines: record.joints.filter(({ name }) => name === of).flatMap(joint) };
    case 'record': {
      const { source, toolPressure, depth } = record;
      const whole = { source, toolPressure, depthUncertainty: depth?.uncertainty ?? null };
      return { through, lines: [...flatLines(whole), ...record.joints.flatMap(joint)] };
    }
    default:
      return undefined;
  }
}
