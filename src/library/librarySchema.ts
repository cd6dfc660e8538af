/** What the service says of its run library, version 1: the page reads it with the same schemas. */
import { z } from 'zod/mini';

export const LIBRARY_LIMITS = {
  /** Characters of the name of a run. */
  nameChars: 200,
  /** Bytes of one recorded stream that is imported over HTTP, and of one part of it. */
  importBytes: 1024 * 1024 * 1024,
  partBytes: 512 * 1024,
  /** Characters of a journal that comes with it; a longer one is for the command line. */
  journalChars: 8 * 1024 * 1024,
  /** Lines of one kind that are told: of what is not whole, of what was not understood. */
  lines: 100,
} as const;

const num = z.nullable(z.number());

/** What the last walk through a run found; a run that has grown since then is told as one that was not checked. */
export const checkedSchema = z.object({
  atMs: z.number(),
  whole: z.boolean(),
  /** How much is not whole, and the first lines of it. */
  problems: z.number(),
  lines: z.array(z.string()),
});

export const listedRunSchema = z.object({
  id: z.string(),
  name: z.string(),
  /** Of the plan that the run began with; null: it names none. */
  well: z.nullable(z.string()),
  /** Where its bytes came from, and whether they came live. */
  source: z.string(),
  imported: z.boolean(),
  /** By our clock, ms since 1970 UTC; 0 for the last before the first record. */
  createdMs: z.number(),
  lastMs: z.number(),
  state: z.enum(['recording', 'closed', 'not closed']),
  records: z.number(),
  bytes: z.number(),
  /** Known once the run has been read through; by the clock of the source. */
  frames: num,
  samples: num,
  fromMs: num,
  toMs: num,
  checked: z.nullable(checkedSchema),
  /** Why the index of the run was not used; empty: it is whole. */
  problems: z.array(z.string()),
});
export type ListedRunState = z.infer<typeof listedRunSchema>;

export const runsSchema = z.object({
  /** `none`: nothing is kept. `read`: there is no rig that a run could be recorded from. `record`: there is one. */
  library: z.enum(['none', 'read', 'record']),
  /** The run that the live screen shows, also when it has been closed. */
  present: z.nullable(z.string()),
  runs: z.array(listedRunSchema),
});
export type Runs = z.infer<typeof runsSchema>;

/** A run is meant by its id. */
export const runNamedSchema = z.object({ id: z.string(), name: z.string() });

export const verifiedSchema = z.object({
  id: z.string(),
  whole: z.boolean(),
  records: z.number(),
  /** The chain's hash at the last record, hex. */
  hash: z.string(),
  sealed: z.boolean(),
  problemCount: z.number(),
  problems: z.array(z.string()),
  holeCount: z.number(),
  holes: z.array(z.string()),
});
export type Verified = z.infer<typeof verifiedSchema>;

export const understoodSchema = z.object({
  format: z.string(),
  columns: z.array(
    z.object({
      name: z.string(),
      unit: z.string(),
      /** Label of the channel, or `time`; null: it feeds nothing. */
      feeds: z.nullable(z.string()),
      unitFrom: z.enum(['file', 'map', 'assumed']),
      /** Samples in which the channel has a valid value; null for what feeds none, and for the time. */
      values: num,
    }),
  ),
  fromMs: z.number(),
  toMs: z.number(),
  rows: z.number(),
  samples: z.number(),
  /** Lines on what was not understood, was refused, or had to be assumed. */
  not: z.array(z.string()),
  /** Of the plan that came with it. */
  plan: z.object({ well: z.nullable(z.string()), joints: z.number(), warnings: z.array(z.string()) }),
  /** Entries of the journal that came with it. */
  entries: z.number(),
});
export type Understood = z.infer<typeof understoodSchema>;

/**
 *   receiving ──all there──▶ reading ──▶ understood ──"keep"──▶ keeping ──▶ kept
 *                               └──────▶ refused ◀──────────────────┘
 */
export const importStateSchema = z.discriminatedUnion('state', [
  z.object({ state: z.literal('receiving'), bytes: z.number(), of: z.number() }),
  z.object({ state: z.literal('reading'), bytes: z.number(), of: z.number() }),
  z.object({ state: z.literal('understood'), understood: understoodSchema }),
  z.object({ state: z.literal('keeping'), bytes: z.number(), of: z.number() }),
  z.object({ state: z.literal('kept'), run: z.string() }),
  z.object({ state: z.literal('refused'), why: z.string() }),
]);
export type ImportState = z.infer<typeof importStateSchema>;

export const importSchema = z.object({ id: z.string(), partBytes: z.number(), import: importStateSchema });
