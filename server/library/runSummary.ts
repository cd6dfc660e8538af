/**
 * What was found when a run was read through or verified, kept beside it so that a list of runs need not read them all. It
 * is a cache: it names the record up to which it is true, and counts only while that is the run's last.
 */
import { z } from 'zod/mini';
import { checkedSchema } from '../../src/library/librarySchema.ts';
import { type Disk, DiskError, readWhole, writeWhole } from '../keep/disk.ts';
import { readHead } from '../keep/logHead.ts';
import { runFolder } from '../keep/runLibrary.ts';

const SUMMARY_NAME = 'summary.json';
const MOST_BYTES = 256 * 1024;

const readSchema = z.object({
  frames: z.number(),
  samples: z.number(),
  fromMs: z.nullable(z.number()),
  toMs: z.nullable(z.number()),
});
const summarySchema = z.object({
  format: z.literal('jointwise-summary/1'),
  /** Of the last record, and the chain's hash there, hex. */
  number: z.number(),
  hash: z.string(),
  read: z.nullable(readSchema),
  checked: z.nullable(checkedSchema),
});
type Summary = z.infer<typeof summarySchema>;
export type SummaryParts = Pick<Summary, 'read' | 'checked'>;

const NOTHING: SummaryParts = { read: null, checked: null };

const folderOf = (data: string, id: string): string => `${runFolder(data, id)}/cache`;

function endOf(disk: Disk, data: string, id: string): Pick<Summary, 'number' | 'hash'> | null {
  const { head } = readHead(disk, runFolder(data, id));
  return head && { number: head.number, hash: Buffer.from(head.hash).toString('hex') };
}

/** Nothing is known where none was kept, it is damaged, or the run has grown since. */
export function readSummary(disk: Disk, data: string, id: string): SummaryParts {
  try {
    if (!disk.list(folderOf(data, id)).includes(SUMMARY_NAME)) return NOTHING;
    const bytes = readWhole(disk, `${folderOf(data, id)}/${SUMMARY_NAME}`, MOST_BYTES);
    const { data: summary } = summarySchema.safeParse(JSON.parse(Buffer.from(bytes).toString('utf8')));
    const end = endOf(disk, data, id);
    return summary && end && summary.number === end.number && summary.hash === end.hash ? summary : NOTHING;
  } catch (error) {
    if (error instanceof DiskError || error instanceof SyntaxError) return NOTHING;
    throw error;
  }
}

/** What is not named stays as it was kept. @param report told in one line when it cannot be kept: then it is found again */
export async function keepSummary(
  disk: Disk,
  data: string,
  id: string,
  parts: Partial<SummaryParts>,
  report: (line: string) => void,
): Promise<void> {
  try {
    const end = endOf(disk, data, id);
    if (!end) return;
    const { read, checked } = { ...readSummary(disk, data, id), ...parts };
    const summary: Summary = { format: 'jointwise-summary/1', ...end, read, checked };
    disk.makeFolder(folderOf(data, id));
    await writeWhole(disk, folderOf(data, id), SUMMARY_NAME, Buffer.from(JSON.stringify(summary)));
  } catch (error) {
    if (!(error instanceof DiskError)) throw error;
    report(`run ${id}: what was found is not kept, ${error.message}`);
  }
}
