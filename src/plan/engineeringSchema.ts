/**
 * The engineering part of a plan, `jointwise-plan/1`: what is needed to know pressure, depth and weight at the tool. Every
 * part may be left out; what needs it is then turned off, and said to be.
 */
import { z } from 'zod';
import { SURVEY_LIMITS } from '../engineering/survey.ts';

export const ENGINEERING_LIMITS = {
  sections: 200,
  pumps: 8,
  balls: 16,
  steps: 32,
  screenTests: 200,
} as const;

const positive = z.number().positive();
const notNegative = z.number().nonnegative();
const name = z.string().trim().min(1).max(64);
const minutes = z
  .number()
  .positive()
  .max(24 * 60);
const seconds = z
  .number()
  .positive()
  .max(24 * 3600);

export const RHEOLOGIES = ['bingham', 'power law', 'herschel-bulkley'] as const;
export type RheologyName = (typeof RHEOLOGIES)[number];

export const fluidSchema = z.object({
  density: positive,
  /** Readings of a rotational viscometer, degrees, by speed, rpm. */
  dials: z
    .record(z.string().regex(/^\d{1,4}(\.\d+)?$/, 'a speed in rpm, for example "600"'), positive.max(1000))
    .refine((dials) => Object.keys(dials).length >= 2 && Object.keys(dials).length <= 20, '2 to 20 speeds')
    .optional(),
  /** The model to use; left out: the one that fits the dials best. */
  model: z.enum(RHEOLOGIES).optional(),
});

/** From the surface down; `mass` a length in air. */
export const stringPartSchema = z.object({
  name: z.string().max(64).optional(),
  length: positive,
  od: positive,
  id: positive,
  mass: positive,
  /** Outside diameter that touches the wall; left out: `od`. */
  toolJoint: positive.optional(),
});

export const holePartSchema = z.object({
  from: notNegative,
  to: positive,
  id: positive,
  friction: z.number().min(0).max(1),
});

export const stationSchema = z.object({
  md: notNegative,
  inclination: z.number().min(0).max(180),
  azimuth: z.number().min(-360).max(360),
});

export const pumpSchema = z.object({
  name: z.string().max(64),
  /** A stroke. */
  displacement: positive,
  efficiency: z.number().positive().max(1).optional(),
});

export const flowPathSchema = z.object({
  /** The flow at which the valve shifts; below it fluid leaves by the low path, above it by the high one. */
  shiftsAt: positive,
  dischargeCoefficient: z.number().positive().max(1.2),
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
  repeatability: positive.optional(),
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
  slowBefore: positive.optional(),
  slowFlow: positive.optional(),
  /** Volume after the seat at which it is overdue. */
  overdueAfter: positive.optional(),
});

export const hangerSchema = z.object({
  /** Pressure steps with their holds, in order; `shears`: the pressure falls when it is passed. */
  steps: z
    .array(z.object({ name, pressure: positive, hold: minutes, shears: z.boolean().optional() }))
    .max(ENGINEERING_LIMITS.steps)
    .optional(),
  /** Pull above the free up-weight and push below the free down-weight, and the movement that may be left over. */
  pull: z.object({ up: positive, down: positive, residual: positive }).optional(),
  annulusTest: z
    .object({
      pressure: positive,
      hold: minutes,
      /** Steadier than this, in pressure a minute, counts as stabilised. */
      stabilised: positive,
      /** Share of the pressure that may be lost in the hold, and whose rule that is. */
      maxDecline: z.number().positive().max(1),
      rule: z.string().trim().min(1).max(200),
    })
    .optional(),
  /** Buoyed weight of the liner that the running tool lets go of. */
  linerWeight: positive.optional(),
});

/** Screen-plugging tests of the fluid and the rule that gates the trip. */
export const screenTestsSchema = z.object({
  rule: z
    .object({
      /** What must pass, in litres (metric) or US gallons (field). */
      volume: positive.optional(),
      seconds: seconds.optional(),
      /** Share by which the time may grow from one test to the next. */
      growth: z.number().positive().max(10).optional(),
      /** Tests in a row that must pass. */
      repeats: z.number().int().min(1).max(20).default(1),
      source: z.string().trim().min(1).max(200).optional(),
    })
    .optional(),
  tests: z
    .array(
      z.object({
        at: z.iso.datetime({ offset: true }),
        volume: positive,
        seconds: positive,
        coupon: z.string().max(200),
        result: z.enum(['passed', 'plugged']),
      }),
    )
    .max(ENGINEERING_LIMITS.screenTests)
    .default([]),
});

/** Limits beside the recipes'. One that is left out is either not judged or an unconfirmed default, and said so. */
export const limitsSchema = z.object({
  stall: z.object({ feed: positive, seconds: positive.max(3600) }).optional(),
  hookload: z.object({ max: positive }).optional(),
  /** Of pumps, lines and string at surface. */
  standpipe: z.object({ max: positive }).optional(),
  /** Equivalent circulating density that the hole stands. */
  ecd: z.object({ max: positive }).optional(),
  /** Above the free up-weight. */
  overpull: z.object({ max: positive }).optional(),
  setDown: z.object({ max: positive }).optional(),
  /** At one depth while rolling. */
  dwell: z.object({ seconds }).optional(),
  /** Without movement in open hole. */
  stationary: z.object({ seconds }).optional(),
  /** Swept again after each connection or stall. */
  overlap: z.object({ min: positive }).optional(),
  /** Pressure allowed inside a threaded connection's keep-out. */
  atConnection: z.object({ pressure: positive }).optional(),
  /** Active tank: change at constant conditions. */
  tanks: z.object({ gain: positive.optional(), loss: positive.optional() }).optional(),
  /** Share by which flow out may differ from flow in. */
  flowDifference: z.object({ share: z.number().positive().max(1) }).optional(),
  /** Share by which the two pressures at the tool may drift apart. */
  drift: z.object({ share: z.number().positive().max(1) }).optional(),
  /** Share by which flow and stroke rate × displacement may differ. */
  pumpMismatch: z.object({ share: z.number().positive().max(1) }).optional(),
  /** Swing of torque as a share of its mean. */
  stickSlip: z.object({ share: z.number().positive().max(5) }).optional(),
});

/** The parts at the top level of a plan. */
export const engineeringShape = {
  fluid: fluidSchema.optional(),
  string: z.array(stringPartSchema).min(1).max(ENGINEERING_LIMITS.sections).optional(),
  hole: z.array(holePartSchema).min(1).max(ENGINEERING_LIMITS.sections).optional(),
  survey: z.array(stationSchema).min(1).max(SURVEY_LIMITS.stations).optional(),
  flowPath: flowPathSchema.optional(),
  depthTag: depthTagSchema.optional(),
  temperature: temperatureSchema.optional(),
  balls: z.array(ballSchema).max(ENGINEERING_LIMITS.balls).optional(),
  hanger: hangerSchema.optional(),
  screenTests: screenTestsSchema.optional(),
} as const;

export const surfaceSchema = z.looseObject({
  blockWeight: positive.optional(),
  pumps: z.array(pumpSchema).max(ENGINEERING_LIMITS.pumps).optional(),
});
