/** A comparison as lines of text, columns aligned, for a terminal or a report. */
import { converter } from '../units.ts';
import type { Comparison } from './compareRecords.ts';

const LENGTH_DECIMALS = 2;

/** Cells under each other; numbers stand to the right. */
function aligned(rows: readonly (readonly string[])[], right: readonly number[]): string[] {
  const widths = (rows[0] ?? []).map((_, column) => Math.max(...rows.map((row) => row[column]!.length)));
  return rows.map((row) =>
    row
      .map((cell, i) => (right.includes(i) ? cell.padStart(widths[i]!) : cell.padEnd(widths[i]!)))
      .join('  ')
      .trimEnd(),
  );
}

/** @param original what the first record is called @param other the second one */
export function comparisonTable(comparison: Comparison, original: string, other: string): string {
  const { joints, alike, eventsCome, eventsGone, gained, lost, units } = comparison;
  const unit = converter(units).label('length');
  const metres = (value: number): string => value.toFixed(LENGTH_DECIMALS);
  const verdicts = joints.filter(({ before, after }) => before !== after).length;
  const lines = [
    `${other} beside ${original}: ${metres(gained)} ${unit} gained, ${metres(lost)} ${unit} lost, ` +
      `verdicts changed: ${verdicts}, events that come: ${eventsCome.length}, that go: ${eventsGone.length}`,
  ];
  if (joints.length > 0) {
    const head = ['joint', 'verdict', 'becomes', `expanded ${unit}`, 'becomes', 'gained', 'lost'];
    const rows = joints.map((one) => [
      one.name,
      one.before ?? '-',
      one.after ?? '-',
      metres(one.expandedBefore),
      metres(one.expandedAfter),
      metres(one.gained),
      metres(one.lost),
    ]);
    lines.push('', ...aligned([head, ...rows], [3, 4, 5, 6]));
  }
  lines.push('', `joints that stay as they are: ${alike}`);
  const events = [
    ...eventsCome.map((event) => ['comes', event.from, event.kind, event.joint ?? '-', event.detail]),
    ...eventsGone.map((event) => ['goes', event.from, event.kind, event.joint ?? '-', event.detail]),
  ].sort((a, b) => (a[1]! < b[1]! ? -1 : a[1]! > b[1]! ? 1 : 0));
  if (events.length > 0) lines.push('', ...aligned([['event', 'from', 'kind', 'joint', 'detail'], ...events], []));
  return `${lines.join('\n')}\n`;
}
