/**
 * The check before the trip, `jointwise-check/1`: the plan worked out, in the plan's own units.
 *
 * A number that the plan leaves no way to work out is null, and a finding says which part of the plan is missing. Shares
 * are 0 to 1. Beside the plan's units: viscometer stress in Pa, consistency in Pa·sⁿ, velocity in m/s, times in minutes.
 */
import { z } from 'zod/mini';
import { BALL_PURPOSES, RHEOLOGIES } from '../plan/engineeringSchema.ts';
import { EXPANDED_KINDS, unitSystemSchema } from '../plan/planSchema.ts';

export const CHECK_FORMAT = 'jointwise-check/1';

/** Most severe first: do not start like this; look at it before starting; to be known or confirmed. */
export const SEVERITIES = ['stop', 'warn', 'note'] as const;
export type Severity = (typeof SEVERITIES)[number];

/** The nozzles that the fluid leaves by. */
export const FLOW_PATHS = ['low', 'high'] as const;

/** What ends a set-down: the plan's limit, a string in waves, or no weight left at surface. */
export const SET_DOWN_ENDS = ['limits.setDown.max', 'buckling', 'no weight left'] as const;

const share = z.number().check(z.minimum(0), z.maximum(1));
const maybe = z.nullable(z.number());
const expandedKind = z.enum(EXPANDED_KINDS);
const flowPath = z.nullable(z.enum(FLOW_PATHS));

export const findingSchema = z.object({
  severity: z.enum(SEVERITIES),
  joint: z.nullable(z.string()),
  text: z.string(),
});
export type Finding = z.infer<typeof findingSchema>;

/** One joint that is to be expanded, with the tool's contact in the middle of the part to be expanded. */
export const roadmapRowSchema = z.object({
  joint: z.string(),
  kind: expandedKind,
  /** Measured depth of the tool's contact. */
  depth: z.number(),
  /** The flow that makes the pressure aimed at. */
  flow: maybe,
  /** Pressure difference over the tool at that flow. */
  tool: maybe,
  /** Standpipe pressure to expect. */
  standpipe: maybe,
  /** With the block. */
  hookload: z.object({ up: maybe, down: maybe, rotating: maybe }),
  /** At surface, turning free off bottom. */
  torque: maybe,
  /** How much longer the string hangs, turning free, than it was tallied: its own weight, and temperature where given. */
  stretch: maybe,
  /** Name of the tool that rolls this joint. */
  rollsWith: z.string(),
  /** The recipe's pressure: where it is read, its bounds, and what was aimed at between them. */
  window: z.object({ at: z.enum(['standpipe', 'tool']), min: maybe, max: maybe, aim: maybe }),
  path: flowPath,
  /** Measured depth of the end of the string, its true vertical depth, and the inclination there, degrees. */
  endDepth: z.number(),
  tvd: maybe,
  inclination: maybe,
  /** Equivalent circulating density at the end of the string. */
  ecd: maybe,
  /** What `stretch` is made of; and beside it, by the pressure inside while pumping, and by ten units of force more pull. */
  stretchParts: z.object({ weight: maybe, temperature: maybe, pressure: maybe, perTenPull: maybe }),
  /** Weight that can be put on the tool, and what ends it. */
  setDown: z.object({ available: maybe, until: z.nullable(z.enum(SET_DOWN_ENDS)) }),
});
export type RoadmapRow = z.infer<typeof roadmapRowSchema>;

export const rheologySchema = z.object({
  fits: z.array(
    z.object({
      model: z.enum(RHEOLOGIES),
      yield: z.number(),
      consistency: z.number(),
      n: z.number(),
      /** Root of the mean square residual, degrees of the dial, and as a share of the mean reading. */
      residual: z.number(),
      residualShare: z.number(),
    }),
  ),
  chosen: z.enum(RHEOLOGIES),
  chosenBy: z.enum(['plan', 'residual']),
  /** Figures that crews know a fluid by; one whose dials are missing is null. cP, lbf/100 ft², equivalent cP. */
  figures: z.object({ plasticViscosity: maybe, yieldPoint: maybe, n: maybe, k: maybe }),
});

export const circulationSchema = z.object({
  /** At the deepest joint of the kind. */
  kind: expandedKind,
  joint: z.string(),
  endDepth: z.number(),
  flow: z.number(),
  path: flowPath,
  standpipe: z.number(),
  insideLoss: z.number(),
  tool: z.number(),
  annulusLoss: z.number(),
  ecd: maybe,
  sections: z.array(
    z.object({
      where: z.enum(['inside', 'annulus']),
      from: z.number(),
      to: z.number(),
      velocity: z.number(),
      regime: z.enum(['laminar', 'transitional', 'turbulent']),
      loss: z.number(),
    }),
  ),
});

/** Pumped since the ball was let go. Strokes are of all pumps together; null without pumps in the plan. */
const momentSchema = z.object({ volume: z.number(), strokes: maybe, minutes: z.number() });
export const ballCheckSchema = z.object({
  name: z.string(),
  purpose: z.enum(BALL_PURPOSES),
  /** Measured depth of the seat. */
  depth: z.number(),
  /** Depth of the end of the string that its bore is counted with. */
  stringEnd: z.number(),
  flow: z.number(),
  slowFlow: z.number(),
  slow: momentSchema,
  seat: momentSchema,
  overdue: momentSchema,
});

export const holeJointSchema = z.object({
  joint: z.string(),
  kind: expandedKind,
  from: z.number(),
  to: z.number(),
  /** Hole that the tool can follow. */
  range: z.object({ min: z.number(), max: z.number() }),
  /** Shares of the length to be expanded; the four add up to 1. */
  inGauge: share,
  overGauge: share,
  tight: share,
  noLog: share,
  /** Share of the logged length where the expanded joint touches the wall; null where nothing is logged. */
  contact: z.nullable(share),
  /** From the expanded pipe to the wall on the wider arm; negative where it presses in. */
  gap: z.nullable(z.object({ mean: z.number(), widest: z.number() })),
  /** Of the elastomer's thickness. */
  squeeze: z.nullable(z.object({ mean: share, least: share, most: share })),
  /** Annular volume that the expansion takes. */
  closed: maybe,
});

export const spaceOutSchema = z.object({
  reach: z.number(),
  step: z.number(),
  /** The best shift of the whole liner, positive for deeper, and the length of isolation joint in gauge with it. */
  shift: z.number(),
  inGauge: z.number(),
  /** Without a shift, and the whole length. */
  asPlanned: z.number(),
  length: z.number(),
  curve: z.array(z.object({ shift: z.number(), inGauge: z.number() })),
});

export const checkSchema = z.object({
  format: z.literal(CHECK_FORMAT),
  units: unitSystemSchema,
  job: z.object({ well: z.string(), rig: z.string() }),
  roadmap: z.array(roadmapRowSchema),
  findings: z.array(findingSchema),
  hydraulics: z.object({ rheology: z.nullable(rheologySchema), circulations: z.array(circulationSchema) }),
  balls: z.array(ballCheckSchema),
  /** Null without a caliper log. */
  hole: z.nullable(
    z.object({
      log: z.object({ from: z.number(), to: z.number(), rows: z.int() }),
      joints: z.array(holeJointSchema),
      spaceOut: z.nullable(spaceOutSchema),
    }),
  ),
  /** Screen-plugging tests; null where the plan has none and no rule. */
  fluid: z.nullable(
    z.object({
      verdict: z.enum(['pass', 'fail', 'too few', 'no rule']),
      reason: z.string(),
      inARow: z.int(),
      repeats: z.nullable(z.int()),
      rule: z.nullable(z.string()),
      tests: z.array(
        z.object({
          at: z.iso.datetime(),
          volume: z.number(),
          seconds: z.number(),
          coupon: z.string(),
          result: z.enum(['passed', 'plugged']),
        }),
      ),
    }),
  ),
  /** Values that stand in for what the plan leaves out: each is to be confirmed. */
  defaults: z.array(z.object({ place: z.string(), value: z.number(), unit: z.string(), what: z.string() })),
  caution: z.string(),
});
export type Check = z.infer<typeof checkSchema>;
