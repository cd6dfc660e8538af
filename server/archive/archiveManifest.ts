/**
 * The archive of a run, `jointwise-archive/1`: a .zip that another installation opens.
 *
 *     raw/raw-00001.log …, raw/head     the raw log as it was kept
 *     journal.jsonl                     what people did, a line each
 *     plans/001.json …                  the versions of the plan
 *     record.json                       jointwise-record/1, where the run has a sample that can be used
 *     report.pdf                        where one was made
 *     manifest.json                     what the files are, by size and SHA-256; the last one
 */
import { z } from 'zod/mini';
import { JOURNAL_LIMITS } from '../../src/journal/journalSchema.ts';
import { PLAN_LIMITS } from '../../src/plan/planSchema.ts';

export const ARCHIVE_FORMAT = 'jointwise-archive/1';
export const MANIFEST_NAME = 'manifest.json';
export const JOURNAL_NAME = 'journal.jsonl';
export const RECORD_NAME = 'record.json';
export const REPORT_NAME = 'report.pdf';
export const RAW_FOLDER = 'raw/';

export const ARCHIVE_LIMITS = {
  /** A segment of the log holds 16 MiB: a run of this many is years long. */
  entries: 2000,
  plans: 999,
  /** Of all files together, unpacked. */
  bytes: 8 * 1024 ** 3,
  /** Unpacked to packed: half of a log of small records is checksums, which hardly get smaller. */
  ratio: 250,
  /** Up to here any ratio is no harm. */
  harmlessBytes: 1024 * 1024,
  manifestBytes: 1024 * 1024,
  journalBytes: 2 * JOURNAL_LIMITS.bytes,
  planBytes: 2 * PLAN_LIMITS.bytes,
  recordBytes: 256 * 1024 * 1024,
} as const;

/** The only names that are ever unpacked: none of them leads out of the folder, whatever the archive says. */
const NAMES =
  /^(?:raw\/(?:head|raw-\d{5}\.log)|plans\/\d{3}\.json|journal\.jsonl|record\.json|report\.pdf|manifest\.json)$/;
export const isArchiveName = (name: string): boolean => NAMES.test(name);

export const planName = (version: number): string => `plans/${String(version).padStart(3, '0')}.json`;

export const manifestSchema = z.object({
  format: z.literal(ARCHIVE_FORMAT),
  /** Version of the program that wrote it and counted the record. */
  program: z.string().check(z.maxLength(64)),
  run: z.object({
    id: z.string().check(z.maxLength(64)),
    name: z.string().check(z.maxLength(1000)),
    source: z.string().check(z.maxLength(4000)),
    createdMs: z.number(),
  }),
  /** The last record of the raw log and the hash of the chain there: two copies that agree here agree in all before. */
  last: z.object({ number: z.int().check(z.nonnegative()), hash: z.string().check(z.maxLength(64)) }),
  /** What was not whole when it was archived, one line each. */
  problems: z.array(z.string().check(z.maxLength(4000))).check(z.maxLength(10_000)),
  files: z
    .array(
      z.object({
        name: z.string().check(z.refine(isArchiveName, 'a name of this format')),
        bytes: z.int().check(z.nonnegative()),
        sha256: z.string().check(z.regex(/^[0-9a-f]{64}$/)),
      }),
    )
    .check(z.maxLength(ARCHIVE_LIMITS.entries)),
});
export type Manifest = z.infer<typeof manifestSchema>;
