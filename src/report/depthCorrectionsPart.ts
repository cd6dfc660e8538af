/** Every correction of the depth: the old one, the new one, by whom, when and why. Nothing is ever overwritten. */
import { UNKNOWN } from '../figures.ts';
import type { Cell } from '../sheet/cell.ts';
import { heading, paragraph, sheetsOf, startFlow } from '../sheet/flow.ts';
import type { Pen } from '../sheet/pen.ts';
import type { Sheet } from '../sheet/sheet.ts';
import { table } from '../sheet/table.ts';
import { converter } from '../units.ts';
import { dateTimeOf, type Facts, inside, shown, traceLink, unitOf } from './facts.ts';
import { DEPTH_CORRECTIONS } from './parts.ts';
import type { Correction } from './workedRun.ts';

export function depthCorrectionsPart(facts: Facts, pen: Pen): Sheet[] {
  const flow = startFlow(pen, DEPTH_CORRECTIONS, 'depth-corrections');
  const { corrections } = facts.input.worked;
  const { depth } = facts.record;
  const unit = unitOf(facts, 'length');
  if (depth) {
    paragraph(
      flow,
      `${CORRECTED[depth.corrected]} ${signed(facts, depth.correction)} ${unit} ` +
        `is added to the depth of the string; it is known to ± ${shown(facts, 'length', depth.uncertainty)} ${unit} (1σ).`,
    );
  }
  table(flow, {
    columns: [
      { head: 'No.', align: 'right' },
      { head: 'When', whole: true },
      { head: 'Old correction', unit, align: 'right' },
      { head: 'New correction', unit, align: 'right' },
      { head: 'Moved by', unit, align: 'right' },
      { head: 'Tool set' },
      { head: 'to', unit, align: 'right' },
      { head: 'Who' },
      { head: 'Why' },
    ],
    rows: corrections.map((one, i) => row(facts, one, i)),
    none: 'The depth was not corrected on this run.',
  });
  const tags = (facts.record.steps ?? []).filter(({ kind }) => kind === 'depth tag');
  heading(flow, 'Depth tags');
  table(flow, {
    columns: [
      { head: 'Tool' },
      { head: 'When', whole: true },
      { head: 'What became of it' },
      { head: 'What was found' },
    ],
    rows: tags.map(({ name, from, outcome, detail }) => [
      name,
      { text: dateTimeOf(facts, Date.parse(from)), href: traceLink(Date.parse(from)) },
      outcome,
      detail,
    ]),
    none: 'No tag was recognised on this run.',
  });
  return sheetsOf(flow);
}

const CORRECTED = {
  'not corrected': 'The depth has not been corrected.',
  'by the journal': 'The depth stands as the journal corrected it.',
  'by the tag': 'The depth stands as the depth tag corrected it.',
} as const;

const signed = (facts: Facts, value: number): string => `${value > 0 ? '+' : ''}${shown(facts, 'length', value)}`;

function row(facts: Facts, { atMs, before, after, entry }: Correction, i: number): Cell[] {
  const { course, position } = facts.input.worked;
  const said = entry === null ? null : course.entries[entry]!;
  const set = said?.action === 'set depth' ? said : null;
  const out = (m: number): string => signed(facts, facts.units.out('length', m));
  // What came of the entry, as the run wrote it down in the units of its plan.
  const effect = entry === null ? '' : (position.run.journal.entries[entry]?.text ?? '');
  const reason = said && 'reason' in said && typeof said.reason === 'string' ? `${said.reason}; ` : '';
  return [
    String(i + 1),
    { text: dateTimeOf(facts, atMs), href: traceLink(atMs) },
    out(before),
    { text: out(after), bold: true },
    out(after - before),
    set?.tool ?? UNKNOWN,
    set ? shown(facts, 'length', asShown(facts, set.depth)) : UNKNOWN,
    said?.by ?? 'nobody',
    said ? `${reason}${effect}` : `depth tag, applied without confirmation: ${inside(facts, 'length', after - before)}`,
  ];
}

/** A depth of the journal is in the units of the plan. */
const asShown = ({ units, job }: Facts, depth: number): number =>
  units.system === job.units ? depth : units.out('length', converter(job.units).in('length', depth));
