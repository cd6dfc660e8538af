/** What is told of a recorded stream before it is kept: what was understood, and every line on what was not. */
import { codeText } from '../../ingest/wits/items.ts';
import { CHANNELS } from '../../src/channels.ts';
import { LIBRARY_LIMITS, type Understood } from '../../src/library/librarySchema.ts';
import type { ReadPlan } from '../plan/readPlan.ts';
import type { ReadThrough } from '../recording/readThrough.ts';

const CHARS = 200;

/** Text from a file on one line of ours. */
const oneLine = (text: string): string =>
  text
    .replace(/\p{Cc}+/gu, ' ')
    .trim()
    .slice(0, CHARS);

/** @param entries of the journal that came with it */
export function understoodOf(found: ReadThrough, { plan, warnings }: ReadPlan, entries: number): Understood {
  const { format, head, counts, values, firstMs, lastMs } = found;
  return {
    format,
    columns: head.columns.map(({ name, unit, feeds, unitFrom }) => ({
      name: oneLine(name),
      unit: oneLine(unit),
      feeds: feeds === null || feeds === 'time' ? feeds : CHANNELS[feeds].label,
      unitFrom,
      values: feeds === null || feeds === 'time' ? null : (values[feeds] ?? 0),
    })),
    fromMs: firstMs,
    toMs: lastMs,
    rows: counts.frames,
    samples: counts.samples,
    not: notUnderstood(found),
    plan: { well: plan.job?.well ?? null, joints: plan.liner.joints.length, warnings: most(warnings.map(oneLine)) },
    entries,
  };
}

function notUnderstood({ notes, counts }: ReadThrough): string[] {
  const unknown = [...counts.unknownCodes].map(([code, { count, last }]) => {
    const column = typeof code === 'number' ? `item ${codeText(code)}` : `column ${oneLine(code)}`;
    return `${column}: not understood, ${count} values, the last "${oneLine(last)}"`;
  });
  const refused = Object.entries(counts.rejected).map(([reason, count]) => `refused, ${reason}: ${count}`);
  return most([...refused, ...notes.map(oneLine), ...unknown]);
}

function most(lines: readonly string[]): string[] {
  if (lines.length <= LIBRARY_LIMITS.lines) return [...lines];
  return [...lines.slice(0, LIBRARY_LIMITS.lines), `${lines.length - LIBRARY_LIMITS.lines} more`];
}
