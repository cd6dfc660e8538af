/**
 * The engineering part of a plan, `jointwise-plan/1`: what is needed to know pressure, depth and weight at the tool. Every
 * part may be left out; what needs it is then turned off, and said to be.
 */
import { z } from 'zod/mini';
import { SURVEY_LIMITS } from '../engineering/survey.ts';

export const ENGINEERING_LIMITS = {
  sections: 200,
  pumps: 8,
  balls: 16,
  steps: 32,
  screenTests: 200,
} as const;

const positive = z.number().check(z.positive());
const notNegative = z.number().check(z.nonnegative());
const name = z.string().check(z.trim(), z.minLength(1), z.maxLength(64));
const minutes = z.number().check(z.positive(), z.maximum(24 * 60));
const seconds = z.number().check(z.positive(), z.maximum(24 * 3600));

export const RHEOLOGIES = ['bingham', 'power law', 'herschel-bulkley'] as const;
export type RheologyName = (typeof RHEOLOGIES)[number];

export const fluidSchema = z.object({
  density: positive,
  /** Readings of a rotational viscometer, degrees, by speed, rpm. */
  dials: z.optional(
    z
      .record(
        z.string().check(z.regex(/^\d{1,4}(\.\d+)?$/, 'a speed in rpm, for example "600"')),
        positive.check(z.maximum(1000)),
      )
      .check(z.refine((dials) => Object.keys(dials).length >= 2 && Object.keys(dials).length <= 20, '2 to 20 speeds')),
  ),
  /** The model to use; left out: the one that fits the dials best. */
  model: z.optional(z.enum(RHEOLOGIES)),
});

/** From the surface down; `mass` a length in air. */
export const stringPartSchema = z.object({
  name: z.optional(z.string().check(z.maxLength(64))),
  length: positive,
  od: positive,
  id: positive,
  mass: positive,
  /** Outside diameter that touches the wall; left out: `od`. */
  toolJoint: z.optional(positive),
});

export const holePartSchema = z.object({
  from: notNegative,
  to: positive,
  id: positive,
  friction: z.number().check(z.minimum(0), z.maximum(1)),
});

export const stationSchema = z.object({
  md: notNegative,
  inclination: z.number().check(z.minimum(0), z.maximum(180)),
  azimuth: z.number().check(z.minimum(-360), z.maximum(360)),
});

export const pumpSchema = z.object({
  name: z.string().check(z.maxLength(64)),
  /** A stroke. */
  displacement: positive,
  efficiency: z.optional(z.number().check(z.positive(), z.maximum(1))),
});

export const flowPathSchema = z.object({
  /** The flow at which the valve shifts; below it fluid leaves by the low path, above it by the high one. */
  shiftsAt: positive,
  dischargeCoefficient: z.number().check(z.positive(), z.maximum(1.2)),
  low: z.object({ area: positive }),
  high: z.object({ area: positive }),
});

export const depthTagSchema = z.object({
  depth: positive,
  tool: name,
  setDown: z.object({ min: positive }),
  /** The tag is taken within ± this of the shear device's depth. */
  window: positive,
  /** 1σ of the same tag done again. */
  repeatability: z.optional(positive),
});

/** Mean temperature of the string: when it was measured on deck, and at surface and bottom while it works. */
export const temperatureSchema = z.object({ tallied: z.number(), surface: z.number(), bottom: z.number() });

export const BALL_PURPOSES = ['set hanger', 'open circulating sub'] as const;
export const ballSchema = z.object({
  name,
  purpose: z.enum(BALL_PURPOSES),
  /** Measured depth of the seat. */
  seat: positive,
  /** The flow that it is pumped down with. */
  flow: positive,
  /** Volume before the seat at which the pumps are slowed, and the flow then. */
  slowBefore: z.optional(positive),
  slowFlow: z.optional(positive),
  /** Volume after the seat at which it is overdue. */
  overdueAfter: z.optional(positive),
});

export const hangerSchema = z.object({
  /** Pressure steps with their holds, in order; `shears`: the pressure falls when it is passed. */
  steps: z.optional(
    z
      .array(z.object({ name, pressure: positive, hold: minutes, shears: z.optional(z.boolean()) }))
      .check(z.maxLength(ENGINEERING_LIMITS.steps)),
  ),
  /** Pull above the free up-weight and push below the free down-weight, and the movement that may be left over. */
  pull: z.optional(z.object({ up: positive, down: positive, residual: positive })),
  annulusTest: z.optional(
    z.object({
      pressure: positive,
      hold: minutes,
      /** Steadier than this, in pressure a minute, counts as stabilised. */
      stabilised: positive,
      /** Share of the pressure that may be lost in the hold, and whose rule that is. */
      maxDecline: z.number().check(z.positive(), z.maximum(1)),
      rule: z.string().check(z.trim(), z.minLength(1), z.maxLength(200)),
    }),
  ),
  /** Buoyed weight of the liner that the running tool lets go of. */
  linerWeight: z.optional(positive),
});

/** Screen-plugging tests of the fluid and the rule that gates the trip. */
export const screenTestsSchema = z.object({
  rule: z.optional(
    z.object({
      /** What must pass, in litres (metric) or US gallons (field). */
      volume: z.optional(positive),
      seconds: z.optional(seconds),
      /** Share by which the time may grow from one test to the next. */
      growth: z.optional(z.number().check(z.positive(), z.maximum(10))),
      /** Tests in a row that must pass. */
      repeats: z._default(z.int().check(z.minimum(1), z.maximum(20)), 1),
      source: z.optional(z.string().check(z.trim(), z.minLength(1), z.maxLength(200))),
    }),
  ),
  tests: z._default(
    z
      .array(
        z.object({
          at: z.iso.datetime({ offset: true }),
          volume: positive,
          seconds: positive,
          coupon: z.string().check(z.maxLength(200)),
          result: z.enum(['passed', 'plugged']),
        }),
      )
      .check(z.maxLength(ENGINEERING_LIMITS.screenTests)),
    [],
  ),
});

/** Limits beside the recipes'. One that is left out is either not judged or an unconfirmed default, and said so. */
export const limitsSchema = z.object({
  stall: z.optional(z.object({ feed: positive, seconds: positive.check(z.maximum(3600)) })),
  hookload: z.optional(z.object({ max: positive })),
  /** Of pumps, lines and string at surface. */
  standpipe: z.optional(z.object({ max: positive })),
  /** Equivalent circulating density that the hole stands. */
  ecd: z.optional(z.object({ max: positive })),
  /** Above the free up-weight. */
  overpull: z.optional(z.object({ max: positive })),
  setDown: z.optional(z.object({ max: positive })),
  /** At one depth while rolling. */
  dwell: z.optional(z.object({ seconds })),
  /** Without movement in open hole. */
  stationary: z.optional(z.object({ seconds })),
  /** Swept again after each connection or stall. */
  overlap: z.optional(z.object({ min: positive })),
  /** Pressure allowed inside a threaded connection's keep-out. */
  atConnection: z.optional(z.object({ pressure: positive })),
  /** Active tank: change at constant conditions. */
  tanks: z.optional(z.object({ gain: z.optional(positive), loss: z.optional(positive) })),
  /** Share by which flow out may differ from flow in. */
  flowDifference: z.optional(z.object({ share: z.number().check(z.positive(), z.maximum(1)) })),
  /** Share by which the two pressures at the tool may drift apart. */
  drift: z.optional(z.object({ share: z.number().check(z.positive(), z.maximum(1)) })),
  /** Share by which flow and stroke rate × displacement may differ. */
  pumpMismatch: z.optional(z.object({ share: z.number().check(z.positive(), z.maximum(1)) })),
  /** Swing of torque as a share of its mean. */
  stickSlip: z.optional(z.object({ share: z.number().check(z.positive(), z.maximum(5)) })),
});

/** The parts at the top level of a plan. */
export const engineeringShape = {
  fluid: z.optional(fluidSchema),
  string: z.optional(z.array(stringPartSchema).check(z.minLength(1), z.maxLength(ENGINEERING_LIMITS.sections))),
  hole: z.optional(z.array(holePartSchema).check(z.minLength(1), z.maxLength(ENGINEERING_LIMITS.sections))),
  survey: z.optional(z.array(stationSchema).check(z.minLength(1), z.maxLength(SURVEY_LIMITS.stations))),
  flowPath: z.optional(flowPathSchema),
  depthTag: z.optional(depthTagSchema),
  temperature: z.optional(temperatureSchema),
  balls: z.optional(z.array(ballSchema).check(z.maxLength(ENGINEERING_LIMITS.balls))),
  hanger: z.optional(hangerSchema),
  screenTests: z.optional(screenTestsSchema),
} as const;

export const surfaceSchema = z.looseObject({
  blockWeight: z.optional(positive),
  pumps: z.optional(z.array(pumpSchema).check(z.maxLength(ENGINEERING_LIMITS.pumps))),
});
