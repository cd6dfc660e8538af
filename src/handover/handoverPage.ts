/** One page for the next shift, worked out from the data of a period. Lengths in the plan's units, instants in UTC. */
import { z } from 'zod/mini';
import { VERDICTS } from '../causes.ts';
import { EVENT_NAMES, type EventName, PRIORITIES } from '../events.ts';
import { JOINT_KINDS, unitSystemSchema } from '../plan/planSchema.ts';
import { ACTIVITY_NAMES } from '../time/activities.ts';

/** Rows of a list; the rest are counted in `leftOut`, the oldest first. */
export const HANDOVER_ROWS = 100;

const instant = z.iso.datetime({ offset: true });
const eventName = z.enum(EVENT_NAMES as [EventName, ...EventName[]]);
const range = z.object({ from: instant, to: instant });

export const handoverPageSchema = z.object({
  from: instant,
  to: instant,
  rigFrom: instant,
  rigTo: instant,
  /** Why it begins there. */
  since: z.enum(['the last handover', 'twelve hours', 'the start of the run']),
  units: unitSystemSchema,
  done: z.object({
    /** Expanded in the period. */
    length: z.number(),
    /** Joints whose verdict is another than it was, and those that were worked. */
    joints: z.array(
      z.object({
        name: z.string(),
        kind: z.enum(JOINT_KINDS),
        length: z.number(),
        coverage: z.number(),
        verdict: z.enum(VERDICTS),
        before: z.enum(VERDICTS),
      }),
    ),
    standsAdded: z.int(),
    standsMs: z.int(),
    /** Of the whole trip, until now. */
    inAll: z.object({ length: z.number(), required: z.number(), joints: z.int(), jointsRequired: z.int() }),
  }),
  /** The work stood, or its time was given a cause: for longer than a minute. */
  stops: z.array(
    z.object({
      activity: z.enum(ACTIVITY_NAMES),
      joint: z.nullable(z.string()),
      from: instant,
      to: instant,
      ms: z.int(),
      lost: z.nullable(z.object({ code: z.string(), reason: z.string(), by: z.string() })),
      events: z.array(eventName),
    }),
  ),
  stoppedMs: z.int(),
  /** Events that go on, or that nobody has acknowledged. */
  events: z.array(
    z.object({
      kind: eventName,
      priority: z.enum(PRIORITIES),
      joint: z.nullable(z.string()),
      depth: z.nullable(z.number()),
      from: instant,
      to: z.nullable(instant),
      detail: z.string(),
      acknowledged: z.boolean(),
    }),
  ),
  /** Bounds in force, a line each, as they are signed. */
  limits: z.array(z.string()),
  depth: z.nullable(z.object({ corrected: z.string(), correction: z.number(), uncertainty: z.number() })),
  /** What people did to the run in the period: corrections, plans, decisions, notes. */
  entries: z.array(z.object({ at: instant, by: z.string(), action: z.string(), text: z.string() })),
  sensors: z.array(
    z.object({ kind: eventName, times: z.int(), ms: z.int(), open: z.boolean(), last: z.string(), lastFrom: instant }),
  ),
  next: z.object({
    joint: z.nullable(z.object({ name: z.string(), kind: z.enum(JOINT_KINDS), left: z.number() })),
    /** Left to roll in all. */
    left: z.number(),
    jointsLeft: z.int(),
    /**
     * 10th and 90th percentile of all that can still be rolled below the tools, what fell short with it; null where the run has
     * not shown enough, or nothing is left.
     */
    jointDone: z.nullable(range),
    tripDone: z.nullable(range),
    /** Joints that fall short and that nobody has decided on. */
    toDecide: z.array(z.string()),
  }),
  remarks: z.string(),
  /** Rows that found no room, by list. */
  leftOut: z.record(z.string(), z.int()),
});
export type HandoverPage = z.infer<typeof handoverPageSchema>;
