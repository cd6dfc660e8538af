/** The first sheet: which job, what came of it in short, what it must not be taken for, and where everything is. */

import { VERDICTS } from '../causes.ts';
import { CAUTION } from '../caution.ts';
import { WELL_CONTROL_CAUTION } from '../events.ts';
import { decimal, percent, UNKNOWN } from '../figures.ts';
import { wrapText } from '../sheet/fitText.ts';
import { type Flow, heading, LINE_GAP, paragraph, sheetsOf, space, startFlow, takePlace } from '../sheet/flow.ts';
import { pairs } from '../sheet/pairs.ts';
import { box, line, type Pen, text } from '../sheet/pen.ts';
import { type Sheet, sheetLink } from '../sheet/sheet.ts';
import { dateTimeOf, expandedJoints, type Facts, shown, shownJoint, unitOf, utcOf, zoneOf } from './facts.ts';
import { JOB } from './parts.ts';

export interface Content {
  readonly part: string;
  readonly key: string;
  readonly page: number;
}

export function coverPart(facts: Facts, pen: Pen, contents: readonly Content[]): Sheet[] {
  const { well, rig } = facts.job;
  const flow = startFlow(pen, JOB, 'job', 'Expansion report');
  job(flow, facts, well, rig);
  cautions(flow);
  outcome(flow, facts);
  listContents(flow, contents);
  return sheetsOf(flow);
}

function job(flow: Flow, facts: Facts, well: string, rig: string): void {
  const { source } = facts.record;
  const { input } = facts;
  const fromMs = Date.parse(source.from);
  const toMs = Date.parse(source.to);
  pairs(
    flow,
    [
      { name: 'Well', value: well || UNKNOWN },
      { name: 'Rig', value: rig || UNKNOWN },
      { name: 'Run', value: input.runName },
      { name: `From, rig time (${zoneOf(facts)})`, value: dateTimeOf(facts, fromMs) },
      { name: `To, rig time (${zoneOf(facts)})`, value: dateTimeOf(facts, toMs) },
      { name: 'Units of this report', value: input.units },
      { name: 'From, UTC', value: utcOf(fromMs) },
      { name: 'To, UTC', value: utcOf(toMs) },
      { name: 'Counted by', value: input.program },
    ],
    3,
  );
}

const CAUTION_SIZE = 9;
const PAD = 8;

function cautions(flow: Flow): void {
  const { pen } = flow;
  const inner = pen.paper.width - pen.paper.left - pen.paper.right - 2 * PAD;
  const lines = [WELL_CONTROL_CAUTION, CAUTION].flatMap((said) =>
    wrapText(pen.measure, said, CAUTION_SIZE, true, inner),
  );
  const height = lines.length * CAUTION_SIZE * LINE_GAP + 2 * PAD;
  space(flow, 6);
  const at = takePlace(flow, height + 8);
  flow.marks.push(box(at.x, at.y, at.width, height, null, ['ink', 1.4]));
  lines.forEach((said, i) => {
    const y = at.y + PAD + CAUTION_SIZE * 0.9 + i * CAUTION_SIZE * LINE_GAP;
    flow.marks.push(text(pen, at.x + PAD, y, said, { size: CAUTION_SIZE, bold: true }));
  });
}

function outcome(flow: Flow, facts: Facts): void {
  const joints = expandedJoints(facts).map(({ name }) => shownJoint(facts, name));
  const sum = (of: 'required' | 'expanded'): number => joints.reduce((all, joint) => all + joint[of], 0);
  const length = (value: number): string => `${shown(facts, 'length', value)} ${unitOf(facts, 'length')}`;
  const count = (verdict: string): number => joints.filter((joint) => joint.verdict === verdict).length;
  const decided = joints.filter(({ decision }) => decision).length;
  heading(flow, 'What came of it');
  pairs(
    flow,
    [
      { name: 'To be expanded', value: length(sum('required')) },
      {
        name: 'Expanded',
        value: `${length(sum('expanded'))}, ${percent(sum('expanded') / Math.max(1e-9, sum('required')))} %`,
      },
      { name: 'Joints to be expanded', value: String(joints.length) },
      ...VERDICTS.filter((verdict) => count(verdict) > 0).map((verdict) => ({
        name: `Joints: ${verdict}`,
        value: String(count(verdict)),
      })),
      { name: 'Joints accepted or rejected', value: `${decided} of ${joints.length}` },
      { name: 'Events', value: String(facts.record.events.length) },
      { name: 'Versions of the plan', value: String(facts.input.worked.versions.length) },
      { name: 'Corrections of the depth', value: String(facts.input.worked.corrections.length) },
      { name: 'Kept run', value: keptWords(facts) },
      { name: 'Signatures', value: signatureWords(facts) },
      {
        name: 'Frames read, refused',
        value: `${decimal(facts.record.source.frames, 0)}, ${decimal(facts.record.source.rejected, 0)}`,
      },
    ],
    4,
  );
  paragraph(flow, `SHA-256 of the record: ${facts.input.recordHash}`, { size: 7.4 });
}

function keptWords({ input }: Facts): string {
  if (!input.verification) return 'not verified';
  const { whole, problems } = input.verification;
  return whole ? 'whole' : `NOT WHOLE: ${problems.length} found`;
}

function signatureWords({ input }: Facts): string {
  const { signatures = [] } = input;
  const broken = signatures.filter(({ holds }) => holds.kind === 'broken').length;
  return broken === 0 ? String(signatures.length) : `${signatures.length}, of those ${broken} BROKEN`;
}

function listContents(flow: Flow, contents: readonly Content[]): void {
  heading(flow, 'Contents');
  const { pen } = flow;
  for (const { part, key, page } of contents) {
    const at = takePlace(flow, 15);
    const name = text(pen, at.x, at.y + 10, part, { size: 9, href: sheetLink(key), tone: 'link' });
    const number = text(pen, at.x + at.width, at.y + 10, String(page), { size: 9, anchor: 'end' });
    const dots = [at.x + name.width + 6, at.y + 9, at.x + at.width - number.width - 6, at.y + 9];
    flow.marks.push(name, line(dots, 'faint', 0.6, [1, 3]), number);
  }
}
