/** What `import` says of a stream: what was understood, what was refused, what nobody reads. */
import { codeText } from '../../ingest/wits/items.ts';
import type { ReadThrough } from '../recording/readThrough.ts';

/** Text from a file on one line of ours. */
const oneLine = (text: string): string => text.replace(/\p{Cc}+/gu, ' ').trim();
const instant = (ms: number): string => new Date(ms).toISOString();

export function importText(
  id: string,
  name: string,
  { format, head, counts, notes, firstMs, lastMs }: ReadThrough,
): string {
  const { frames, samples, rejected, unknownCodes } = counts;
  return [
    `run ${id}: ${oneLine(name)}`,
    `${format}, ${frames} ${format === 'wits0' ? 'frames' : 'rows'}, ${samples} samples from ${instant(firstMs)} to ${instant(lastMs)}`,
    ...head.columns.map(({ name: column, unit, feeds, unitFrom }) => {
      return `column ${oneLine(column)}: ${feeds ?? 'not understood'}${unit ? `, ${oneLine(unit)} (${unitFrom})` : ''}`;
    }),
    ...notes.map((note) => `note: ${oneLine(note)}`),
    ...Object.entries(rejected).map(([reason, count]) => `refused, ${reason}: ${count}`),
    ...[...unknownCodes].map(([code, { count, last }]) => {
      const column = typeof code === 'number' ? codeText(code) : oneLine(code);
      return `not understood, ${column}: ${count} values, the last "${oneLine(last)}"`;
    }),
  ].join('\n');
}
