/** The limits sheet: every bound under every version of the plan, and the defaults that nobody has confirmed. */
import { compileJob } from '../plan/job.ts';
import type { Cell } from '../sheet/cell.ts';
import { heading, paragraph, sheetsOf, startFlow } from '../sheet/flow.ts';
import type { Pen } from '../sheet/pen.ts';
import type { Sheet } from '../sheet/sheet.ts';
import { table } from '../sheet/table.ts';
import { dateTimeOf, type Facts, shown, traceLink } from './facts.ts';
import { type LimitRow, limitRows } from './limitRows.ts';
import { LIMITS } from './parts.ts';

/** Versions that have room beside one another. */
const MOST_BESIDE = 4;

interface Version {
  readonly name: string;
  readonly rows: readonly LimitRow[];
}

export function limitsPart(facts: Facts, pen: Pen): Sheet[] {
  const flow = startFlow(pen, LIMITS, 'limits');
  const { versions, course } = facts.input.worked;
  const all = versions.map(
    ({ plan }, i): Version => ({
      name: `Version ${i + 1}`,
      rows: limitRows(facts, compileJob(plan, facts.job.stream.channels)),
    }),
  );
  heading(flow, 'Versions of the plan');
  table(flow, {
    columns: [{ head: 'Version' }, { head: 'In force from', whole: true }, { head: 'By' }, { head: 'Reason' }],
    rows: versions.map(({ fromMs, entry }, i) => {
      const by = entry === null ? null : course.entries[entry]!;
      const reason = by?.action === 'change plan' ? (by.reason ?? '') : 'the plan that the run began with';
      const from = by ? dateTimeOf(facts, fromMs) : 'the beginning';
      return [String(i + 1), { text: from, href: traceLink(fromMs) }, by?.by ?? '–', reason];
    }),
    none: '',
  });
  for (let first = 0; first < all.length; first += MOST_BESIDE) {
    const beside = all.slice(first, first + MOST_BESIDE);
    heading(flow, all.length > 1 ? 'Bounds; what a version changes is in bold' : 'Bounds');
    table(flow, {
      columns: [
        { head: 'Group' },
        { head: 'Bound' },
        { head: 'Unit' },
        ...beside.map(({ name }) => ({ head: name, align: 'right' as const })),
      ],
      rows: boundRows(beside, first > 0 ? all[first - 1]! : null),
      none: '',
    });
  }
  paragraph(
    flow,
    '* A default that stands in for what the plan leaves out, to be confirmed: it is no limit of any tool.',
    {
      size: 7.4,
      tone: 'soft',
    },
  );
  defaults(flow, facts);
  return sheetsOf(flow);
}

const idOf = ({ group, name }: LimitRow): string => `${group} ${name}`;

function boundRows(versions: readonly Version[], before: Version | null): Cell[][] {
  const known = new Map<string, LimitRow>();
  for (const { rows } of versions) for (const row of rows) if (!known.has(idOf(row))) known.set(idOf(row), row);
  let group = '';
  return [...known.values()].map((row) => {
    const isFirst = row.group !== group;
    group = row.group;
    let last = before?.rows.find((one) => idOf(one) === idOf(row))?.value;
    const cells = versions.map(({ rows }, i): Cell => {
      const own = rows.find((one) => idOf(one) === idOf(row));
      const value = own ? `${own.value}${own.isDefault ? ' *' : ''}` : '–';
      const isChanged = (i > 0 || before !== null) && own?.value !== last;
      last = own?.value;
      return { text: value, bold: isChanged };
    });
    return [{ text: isFirst ? row.group : '', bold: true }, row.name, row.unit, ...cells];
  });
}

function defaults(flow: Parameters<typeof heading>[0], facts: Facts): void {
  heading(flow, 'Defaults to be confirmed');
  table(flow, {
    columns: [{ head: 'What' }, { head: 'Place in the plan' }, { head: 'Value', align: 'right' }, { head: 'Unit' }],
    rows: (facts.record.defaults ?? []).map(({ place, value, unit, what }) => [
      what,
      place,
      shown(facts, 'count', value, Number.isInteger(value) ? 0 : 2),
      unit,
    ]),
    none: 'None: the plan says everything that is used.',
  });
}
