/**
 * What the service and the page say to each other over the WebSocket, version 1. Both ends use these schemas.
 * All numbers are in inside units (m, kPa, kN, kN·m, L/min, rpm, m/min, ms since 1970 UTC); a value that is not
 * known is null. The page converts for display.
 *
 * L1 The first message of a connection is the page's `hello`; the service answers `snapshot`, or, when the page named
 *    the run and a number that the service still holds, the deltas after it.
 * L2 Every delta carries the next number; a page that sees a hole says `hello` again.
 * L3 A page that reads too slowly is sent no further deltas until it has caught up, then a new snapshot.
 */
import { z } from 'zod/mini';
import { GAP_CAUSES, VERDICTS } from '../causes.ts';
import { EVENT_FORMS, EVENT_NAMES, type EventName, PRIORITIES } from '../events.ts';
import { measuredTextSchema } from '../measuredText.ts';
import { PHASE_NAMES, type PhaseName } from '../phases.ts';
import { planSchema } from '../plan/planSchema.ts';
import { stepSchema } from '../steps.ts';
import { TRACE_COLUMNS } from '../traces/traceColumns.ts';

export { BREACHES, TRACE_COLUMNS, type TraceColumn, type TraceRow } from '../traces/traceColumns.ts';

export const LIVE_LIMITS = {
  /** Largest message that a page may send, bytes. */
  pageMessageBytes: 4096,
  /** Deltas kept for pages that come back. */
  deltasKept: 4096,
  /** Bytes that may wait for one page before it is treated as slow, and below which it is caught up again. */
  slowAboveBytes: 512 * 1024,
  caughtUpBelowBytes: 32 * 1024,
  pages: 1000,
  /** Of the journal in a snapshot, characters. */
  journalChars: 256 * 1024,
} as const;

const num = z.nullable(z.number());
const depthSpan = z.tuple([z.number(), z.number()]);

/** `good`: expanding within every bound; `bad`: on a joint that should be expanding and not so; `idle`: neither. */
export const judgementSchema = z.object({
  state: z.enum(['good', 'bad', 'idle', 'unknown']),
  /** Which bounds fail now, for `bad`. */
  causes: z.array(z.enum(GAP_CAUSES)),
});

/** The pressure at the tool, worked out twice, and how far the losses can be trusted. */
export const toolPressureSchema = z.object({
  /** Standpipe less losses, and from flow through the open path; kPa. */
  fromStandpipe: num,
  fromFlow: num,
  /** 1σ of `fromStandpipe`, kPa. */
  sigma: num,
  losses: z.enum(['calibrated', 'model', 'none']),
  path: z.nullable(z.enum(['low', 'high'])),
  /** The fit of losses against flow on this run. */
  calibration: z.nullable(
    z.object({
      points: z.int(),
      rates: z.int(),
      /** Scatter of the losses about the fit, as a share. */
      scatter: z.number(),
      flowMin: z.number(),
      flowMax: z.number(),
      fromMs: z.number(),
      toMs: z.number(),
    }),
  ),
});
export type ToolPressureNow = z.infer<typeof toolPressureSchema>;

/** How well the depth of the tool's contact is known, and what has been put right on it. */
export const depthAtToolSchema = z.object({
  /** 1σ, m. */
  sigma: num,
  /** Change of stretch that is applied, m. */
  stretch: z.number(),
  corrected: z.enum(['not corrected', 'by the journal', 'by the tag']),
  /** A tag that waits to be confirmed: the tool's depth as it was shown, the shear device's, and when. */
  offer: z.nullable(
    z.object({
      step: z.int(),
      atMs: z.number(),
      tool: z.int(),
      shown: z.number(),
      tagged: z.number(),
      setDown: z.number(),
    }),
  ),
});
export type DepthAtToolNow = z.infer<typeof depthAtToolSchema>;

const rangeMs = z.object({ fromMs: z.number(), toMs: z.number() });
/** When the joint at work and the whole trip will be done, from this run's own pace; null: too little seen yet. */
export const finishSchema = z.object({ joint: z.nullable(rangeMs), trip: z.nullable(rangeMs) });
export type FinishNow = z.infer<typeof finishSchema>;

/** The instant: what the status strip and the tools on the liner show. */
export const nowSchema = z.object({
  sourceMs: z.number(),
  arrivalMs: z.number(),
  phase: z.enum(PHASE_NAMES as [PhaseName, ...PhaseName[]]),
  phaseSinceMs: z.number(),
  /** Index of the joint that the phase is about, and of the tool that is, or will next be, at work. */
  joint: z.nullable(z.int()),
  tool: z.nullable(z.int()),
  judgement: judgementSchema,
  endDepth: num,
  blockPosition: num,
  /** Depth of each tool's contact, in plan order. */
  toolDepths: z.array(num),
  depthCorrection: z.number(),
  feed: num,
  standpipePressure: num,
  /** The bounds in force: those of the recipe at work, else of the recipe that comes next. Null: does not apply. */
  bounds: z.object({
    recipe: z.nullable(z.enum(['isolation', 'screen'])),
    /** Which pressure the bounds are about. */
    pressureAt: z.enum(['standpipe', 'tool']),
    pressureMin: num,
    pressureMax: num,
    rpmMin: num,
    feedMax: num,
    /** m a revolution. */
    feedPerTurnMax: num,
    torqueMax: num,
  }),
  rotation: num,
  torque: num,
  hookload: num,
  /** Free-rotating weight measured on this run less hookload, kN; null until it has been measured. */
  setDown: num,
  /** Torque above free rotation as measured on this run, kN·m. */
  torqueOnTool: num,
  /** m a revolution, over the last turns. */
  feedPerTurn: num,
  /** Null: the plan has no string or no fluid to work it out from. */
  toolPressure: z.nullable(toolPressureSchema),
  depthAtTool: depthAtToolSchema,
  finish: finishSchema,
  flowIn: num,
  inSlips: z.boolean(),
  expandedM: z.number(),
  requiredM: z.number(),
  connections: z.int(),
});
export type Now = z.infer<typeof nowSchema>;

/** What is known of one joint, by its index in the plan. */
export const jointStateSchema = z.object({
  index: z.int(),
  expanded: z.array(depthSpan),
  unproven: z.array(depthSpan),
  gaps: z.array(z.object({ from: z.number(), to: z.number(), cause: z.enum(GAP_CAUSES) })),
  expandedM: z.number(),
  /** 1σ of `expandedM`, m. */
  sigmaM: z.number(),
  unprovenM: z.number(),
  coverage: z.number(),
  longestGap: z.number(),
  pressure: z.nullable(z.object({ min: z.number(), mean: z.number(), max: z.number() })),
  feedMean: num,
  passes: z.int(),
  stalls: z.int(),
  minutes: z.number(),
  verdict: z.enum(VERDICTS),
  /** What the verdict would be within 2σ of the expanded length; empty: the same. */
  couldBe: z.array(z.enum(VERDICTS)),
  /** What a person decided on it last. */
  decision: z.optional(
    z.object({ action: z.enum(['accept', 'reject']), by: z.string(), atMs: z.number(), reason: z.string() }),
  ),
});
export type JointState = z.infer<typeof jointStateSchema>;

export const eventStateSchema = z.object({
  id: z.int(),
  kind: z.enum(EVENT_NAMES as [EventName, ...EventName[]]),
  priority: z.enum(PRIORITIES),
  joint: z.nullable(z.string()),
  depth: num,
  fromMs: z.number(),
  toMs: num,
  detail: measuredTextSchema,
  form: z.optional(z.enum(EVENT_FORMS)),
  acknowledged: z.optional(z.object({ by: z.string(), atMs: z.number(), reason: z.string() })),
});
export type EventState = z.infer<typeof eventStateSchema>;

export const LINKS = ['connecting', 'listening', 'connected', 'lost', 'ended'] as const;

/** Room on the disk that is recorded on. `unknown`: it could not be asked. */
export const ROOMS = ['plenty', 'low', 'very low', 'full', 'unknown'] as const;

const keptRun = {
  /** Id and name in the run library. */
  run: z.string(),
  name: z.string(),
  /** Frames that are on the disk. */
  frames: z.int(),
  room: z.enum(ROOMS),
  /** When a recording that had stopped went on again; null: it never stopped. What came between is a hole. */
  resumedMs: num,
};

/** Whether what arrives is kept. */
export const recordingSchema = z.discriminatedUnion('state', [
  /** No data folder was named: everything ends with the service. */
  z.object({ state: z.literal('not kept') }),
  z.object({ state: z.literal('recording'), ...keptRun }),
  /** The live screen goes on from memory. */
  z.object({ state: z.literal('not recording'), ...keptRun, why: z.string(), sinceMs: z.number() }),
  /** The run is closed: it is read back from the library, or no more is taken into it. */
  z.object({ state: z.literal('closed'), run: z.string(), name: z.string(), frames: z.int() }),
]);
export type RecordingState = z.infer<typeof recordingSchema>;

export const LEFT_OUT_LIMITS = {
  /** Places that are told one by one. */
  places: 100,
} as const;

/** What is damaged in the log and was left out: how many places, and the first of them with the instants that they lie between. */
export const leftOutSchema = z.object({
  count: z.int(),
  places: z.array(z.object({ line: z.string(), fromMs: num, toMs: num })),
});
export type LeftOutState = z.infer<typeof leftOutSchema>;

/** How the source fares: its link, what was counted, what was refused and why. */
export const ingestStateSchema = z.object({
  source: z.string(),
  link: z.enum(LINKS),
  linkDetail: z.string(),
  bytes: z.number(),
  frames: z.number(),
  samples: z.number(),
  /** Refused bytes and frames by reason. */
  rejected: z.record(z.string(), z.number()),
  /** Item codes that feed no channel: how often, and the last raw text. */
  unknownCodes: z.array(z.object({ code: z.string(), count: z.number(), last: z.string() })),
  recording: recordingSchema,
  /** Not there: the log is whole as far as it was read. */
  leftOut: z.optional(leftOutSchema),
});
export type IngestState = z.infer<typeof ingestStateSchema>;

export const traceRowSchema = z.array(num).check(z.length(TRACE_COLUMNS.length));

export const clockSchema = z.object({
  /** Rig seconds that pass in one of ours: 1 live, 20 in the demo. */
  rate: z.number().check(z.positive()),
  /** Our clock when this was sent. */
  serverMs: z.number(),
});

/** An entry of the journal as pages are told it, when it is entered. Depth in m, instants in ms. */
export const journalLineSchema = z.object({
  /** Its place among the entries of the run, from 0. */
  number: z.int(),
  atMs: z.number(),
  by: z.string(),
  action: z.string(),
  /** What came of it; the words of a note. */
  text: z.string(),
  note: z.optional(
    z.object({
      id: z.string(),
      /** The versions that it follows; none: a note of its own. */
      edits: z.array(z.string()),
      takenBack: z.boolean(),
      timeMs: num,
      depth: num,
      joint: z.nullable(z.string()),
    }),
  ),
});
export type JournalLine = z.infer<typeof journalLineSchema>;

export const snapshotMessageSchema = z.object({
  type: z.literal('snapshot'),
  seq: z.int(),
  run: z.string(),
  clock: clockSchema,
  plan: planSchema,
  now: z.nullable(nowSchema),
  joints: z.array(jointStateSchema),
  events: z.array(eventStateSchema),
  steps: z.array(stepSchema),
  /** What is not worked out, and which part of the plan or of the stream it needs. */
  turnedOff: z.array(z.string()),
  ingest: ingestStateSchema,
  /** The newest of the journal, oldest first; how many entries before them, and how many notes, were left out for their size. */
  journal: z.optional(z.object({ lines: z.array(journalLineSchema), leftOut: z.int(), notesLeftOut: z.int() })),
});

/** Only what changed since the number before. */
export const deltaMessageSchema = z.object({
  type: z.literal('delta'),
  seq: z.int(),
  serverMs: z.number(),
  now: z.optional(nowSchema),
  rows: z.optional(z.array(traceRowSchema)),
  joints: z.optional(z.array(jointStateSchema)),
  events: z.optional(z.array(eventStateSchema)),
  /** All of them, whenever one has changed. */
  steps: z.optional(z.array(stepSchema)),
  ingest: z.optional(ingestStateSchema),
  /** Entered since. */
  lines: z.optional(z.array(journalLineSchema)),
});

/** Where several people look together. `live`: the newest end. Played: `speed` rig seconds in one of ours. */
const sharedPlace = [
  z.object({ kind: z.literal('live') }),
  z.object({
    kind: z.literal('at'),
    atMs: z.number().check(z.minimum(0), z.maximum(8.64e15)),
    playing: z.boolean(),
    speed: z.number().check(z.minimum(1), z.maximum(1000)),
  }),
] as const;
export const sharedPlaceSchema = z.discriminatedUnion('kind', sharedPlace);
export type SharedPlace = z.infer<typeof sharedPlaceSchema>;

/**
 * The shared position, to every page that said `watch`, whenever it changes. It bears no number: the latest holds.
 *
 * L4 A page says `watch` behind its hello, and again when it follows, goes alone or has another name. `take` takes the lead
 *    from whoever has it; `lead` moves the shared position and counts only from who leads. Nobody's leaving moves the others.
 */
export const sharedMessageSchema = z.object({
  type: z.literal('shared'),
  serverMs: z.number(),
  /** Null: nobody leads. */
  leader: z.nullable(z.object({ name: z.string() })),
  /** How this page stands, once so many of its `watch` and `take` on this link were heard: more are on their way. */
  you: z.object({ as: z.enum(['alone', 'follows', 'leads']), heard: z.int() }),
  /** Null: nothing is shared. `sinceMs`: by the service's clock, when a place that is played was at `atMs`. */
  place: z.nullable(z.object({ sinceMs: z.number(), at: sharedPlaceSchema })),
  /** Pages that have the run open, and those of them that follow. */
  watching: z.int(),
  following: z.int(),
});
export type SharedMessage = z.infer<typeof sharedMessageSchema>;

export const serverMessageSchema = z.discriminatedUnion('type', [snapshotMessageSchema, deltaMessageSchema]);
/** All that a page may hear. */
export const heardMessageSchema = z.discriminatedUnion('type', [
  snapshotMessageSchema,
  deltaMessageSchema,
  sharedMessageSchema,
]);
export type HeardMessage = z.infer<typeof heardMessageSchema>;
export type SnapshotMessage = z.infer<typeof snapshotMessageSchema>;
export type DeltaMessage = z.infer<typeof deltaMessageSchema>;
export type ServerMessage = z.infer<typeof serverMessageSchema>;

export const helloMessageSchema = z.object({
  type: z.literal('hello'),
  run: z.optional(z.string().check(z.maxLength(200))),
  lastSeq: z.optional(z.int().check(z.nonnegative())),
});
export type HelloMessage = z.infer<typeof helloMessageSchema>;

/** How a page stands to the shared position. `leads`: it did before its link went, and does again unless another has taken it. */
export const STANDINGS = ['alone', 'follows', 'leads'] as const;
export type Standing = (typeof STANDINGS)[number];
export const watchMessageSchema = z.object({
  type: z.literal('watch'),
  /** Chosen by the page by chance, told to nobody else: a page that comes back is not counted twice. */
  page: z.string().check(z.regex(/^[0-9a-f]{16}$/)),
  name: z.string().check(z.maxLength(100)),
  as: z.enum(STANDINGS),
});
export type WatchMessage = z.infer<typeof watchMessageSchema>;
const leadMessageSchema = z.object({ type: z.enum(['take', 'lead']), place: sharedPlaceSchema });
export const pageMessageSchema = z.discriminatedUnion('type', [
  helloMessageSchema,
  watchMessageSchema,
  leadMessageSchema,
]);
export type PageMessage = z.infer<typeof pageMessageSchema>;
