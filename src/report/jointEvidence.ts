/** What stands behind a joint's verdict: its gaps, its passes, its events, who decided what. */
import type { JournalEntry } from '../journal/journalSchema.ts';
import type { Joint } from '../plan/job.ts';
import type { RecordJoint } from '../record/recordSchema.ts';
import type { Pass } from '../replay/passes.ts';
import type { Cell } from '../sheet/cell.ts';
import { cutText } from '../sheet/fitText.ts';
import { type Flow, roomLeft } from '../sheet/flow.ts';
import { type Measure, text } from '../sheet/pen.ts';
import { TABLE_SIZE, type Table, table, tableHeights } from '../sheet/table.ts';
import { dateTimeOf, type Facts, inside, lasted, shown, timeOf, traceLink, unitOf } from './facts.ts';
import { verdictMs } from './jointVerdict.ts';
import { EVENTS, JOINT_TABLE } from './parts.ts';
import { isRolling } from './rollingPass.ts';

/** A text may have so many letters, whatever they measure. */
const inLetters: Measure = (words) => [...words].length;

const SMALL = TABLE_SIZE - 0.5;
const MORE_HEIGHT = 12;
const TITLE_HEIGHT = 16;
const GUTTER = 16;

/** Two tables below one another in a half of the sheet; where rows have no room, how many there are more is said. */
export function evidence(flow: Flow, facts: Facts, joint: Joint, said: RecordJoint): void {
  const { paper } = flow.pen;
  const middle = (paper.left + paper.width - paper.right) / 2;
  const left = half(flow, paper.left, middle - GUTTER / 2);
  const right = half(flow, middle + GUTTER / 2, paper.width - paper.right);
  const passes = facts.passes(joint.index);
  part(left, 'Gaps', gapTable(facts, joint, said, passes), 0.7);
  part(left, 'Decisions', decisionTable(facts, joint), 1);
  part(right, 'Ways down of a tool', passTable(facts, joint, passes), 0.4);
  part(right, 'Events on this joint', eventTable(facts, joint), 1);
}

/** A flow of its own on the same sheet, between two edges. */
function half(flow: Flow, from: number, to: number): Flow {
  const { paper } = flow.pen;
  const pen = { ...flow.pen, paper: { ...paper, left: from, right: paper.width - to } };
  return { ...flow, pen, done: [{ marks: flow.marks }], marks: flow.marks, y: flow.y };
}

/** @param share of the room that is left which it may fill */
function part(flow: Flow, title: string, all: Table, share: number): void {
  const { pen } = flow;
  const sized = { ...all, size: SMALL };
  const heights = tableHeights(pen, sized);
  let room = roomLeft(flow) * share - TITLE_HEIGHT - heights.head - heights.end - MORE_HEIGHT;
  let most = 0;
  while (most < all.rows.length && room >= heights.rows[most]!) {
    room -= heights.rows[most]!;
    most += 1;
  }
  flow.marks.push(text(pen, pen.paper.left, flow.y + 11, title, { size: 8.4, bold: true }));
  flow.y += TITLE_HEIGHT;
  const more = all.rows.length - most;
  if (more < all.rows.length || more === 0) table(flow, { ...sized, rows: all.rows.slice(0, most) });
  if (more === 0) return;
  const words = `and ${more} more: see “${JOINT_TABLE}” and “${EVENTS}”`;
  flow.marks.push(text(pen, pen.paper.left, flow.y + 5, words, { size: SMALL, tone: 'soft' }));
  flow.y += MORE_HEIGHT;
}

/** When the tool was last at a depth; the end of the run where it never was. */
export function instantAt(facts: Facts, passes: readonly Pass[], depthM: number): number {
  const { course, columns } = facts.input.worked;
  let best = Number.NaN;
  let least = Number.POSITIVE_INFINITY;
  for (const { tool, fromRow, toRow } of passes) {
    const end = depthM + facts.job.tools[tool]!.offsetM;
    for (let row = fromRow; row < toRow; row += 1) {
      const off = Math.abs(columns.depth[row]! - end);
      if (off < least || (off <= least && off < 0.02)) {
        least = off;
        best = course.samples.sourceMs[row]!;
      }
    }
  }
  return best;
}

function gapTable(facts: Facts, joint: Joint, said: RecordJoint, passes: readonly Pass[]): Table {
  return {
    columns: [
      { head: 'From', unit: unitOf(facts, 'length'), align: 'right' },
      { head: 'To', unit: unitOf(facts, 'length'), align: 'right' },
      { head: 'Length', unit: unitOf(facts, 'length'), align: 'right' },
      { head: 'Cause' },
      { head: 'Rolled at', whole: true },
    ],
    rows: gapRows(facts, joint, said, passes),
    none: 'None: all that was to be expanded is expanded.',
  };
}

/** A gap may be shorter than what depths are shown to. */
const GAP_DECIMALS = 2;

export function gapRows(facts: Facts, joint: Joint, said: RecordJoint, passes: readonly Pass[]): Cell[][] {
  return said.gaps.map(({ from, to, cause }) => {
    const middleM = facts.units.in('length', (from + to) / 2);
    const ms = cause === 'not reached' ? Number.NaN : instantAt(facts, passes, middleM);
    const href = traceLink(Number.isFinite(ms) ? ms : verdictMs(facts, said), joint.name);
    return [
      shown(facts, 'length', from, GAP_DECIMALS),
      shown(facts, 'length', to, GAP_DECIMALS),
      shown(facts, 'length', to - from, GAP_DECIMALS),
      { text: cause, tone: 'bad', href },
      { text: Number.isFinite(ms) ? timeOf(facts, ms) : 'traces', href },
    ];
  });
}

function passTable(facts: Facts, joint: Joint, passes: readonly Pass[]): Table {
  return {
    columns: [
      { head: 'No.', align: 'right' },
      { head: 'Tool' },
      { head: 'From', unit: unitOf(facts, 'length'), align: 'right' },
      { head: 'To', unit: unitOf(facts, 'length'), align: 'right' },
      { head: 'Began', whole: true },
      { head: 'Lasted', unit: 'min:s', align: 'right' },
      { head: 'Rolling' },
    ],
    rows: passes.map((pass, i) => [
      String(i + 1),
      cutText(inLetters, facts.job.tools[pass.tool]!.name, 0, false, 14),
      inside(facts, 'length', pass.depth[0]!),
      inside(facts, 'length', pass.depth[pass.depth.length - 1]!),
      { text: timeOf(facts, pass.fromMs), href: traceLink(pass.fromMs) },
      lasted(pass.toMs - pass.fromMs),
      isRolling(facts, joint, pass) ? 'yes' : 'no',
    ]),
    none: 'No tool has passed over it.',
  };
}

function eventTable(facts: Facts, joint: Joint): Table {
  const events = facts.record.events.filter((event) => event.joint === joint.name);
  return {
    columns: [
      { head: 'Began', whole: true },
      { head: 'What' },
      { head: 'Depth', unit: unitOf(facts, 'length'), align: 'right' },
      { head: 'Lasted', unit: 'min:s', align: 'right' },
    ],
    rows: events.map(({ kind, from, to, depth }) => [
      { text: timeOf(facts, Date.parse(from)), href: traceLink(Date.parse(from), joint.name) },
      kind,
      shown(facts, 'length', depth),
      to === null ? 'open' : lasted(Date.parse(to) - Date.parse(from)),
    ]),
    none: 'None.',
  };
}

export type Decision = Extract<JournalEntry, { action: 'accept' | 'reject' }>;

/** What people decided on a joint, in order; on all of them where none is named. */
export const decisionsOf = ({ input }: Facts, joint?: string): Decision[] =>
  input.worked.course.entries.filter(
    (entry): entry is Decision =>
      (entry.action === 'accept' || entry.action === 'reject') && (joint === undefined || entry.joint === joint),
  );

export const DECISION_WORDS = { accept: 'accepted', reject: 'rejected' } as const;

function decisionTable(facts: Facts, joint: Joint): Table {
  const most = (words: string, letters: number): string => cutText(inLetters, words, 0, false, letters);
  return {
    columns: [{ head: 'When', whole: true }, { head: 'Decision' }, { head: 'By' }, { head: 'Reason' }],
    rows: decisionsOf(facts, joint.name).map(({ action, by, at, reason }) => [
      dateTimeOf(facts, Date.parse(at)),
      { text: DECISION_WORDS[action], bold: true, tone: action === 'accept' ? 'good' : 'bad' },
      most(by, 24),
      most(reason, 90),
    ]),
    none: 'Neither accepted nor rejected.',
  };
}
