/**
 * The description of a simulated trip, `jointwise-scenario/1`: which plan is worked, how the rig and its driller
 * behave, what goes wrong, and what the stream looks like. All numbers are metric (the inside units).
 */
import { z } from 'zod/mini';
import { unitSystemSchema } from '../../src/plan/planSchema.ts';

export const SCENARIO_FORMAT = 'jointwise-scenario/1';
export const SCENARIO_LIMITS = { incidents: 200 } as const;

const positive = z.number().check(z.positive());
const notNegative = z.number().check(z.nonnegative());

/** Steps in which a depth or block reading comes. */
export const RESOLUTIONS = { '0.01 m': 0.01, '0.1 m': 0.1, '0.01 ft': 0.003048, '0.1 ft': 0.03048 } as const;
const resolution = z.enum(['0.01 m', '0.1 m', '0.01 ft', '0.1 ft']);
export type Resolution = z.infer<typeof resolution>;

export const scenarioStreamSchema = z.object({
  /** Units of the WITS items; those of the plan's stream when left out. */
  units: z.optional(unitSystemSchema),
  framePeriod: z._default(z.int().check(z.minimum(1), z.maximum(5)), 1),
  depthResolution: z._default(resolution, '0.01 m'),
  blockResolution: z._default(resolution, '0.01 m'),
  /** Record 5 with the in-slips flag beside every record 1. */
  record5: z._default(z.boolean(), false),
  /** Record 11 with the tank volumes every tenth frame. */
  record11: z._default(z.boolean(), false),
});

const place = { joint: z.string(), into: notNegative };
/** What goes wrong: on `joint`, when its tool has got `into` metres into the part to be expanded. */
export const incidentSchema = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('stall'), ...place, seconds: z._default(positive.check(z.maximum(3600)), 60) }),
  z.object({
    kind: z.literal('low pressure'),
    ...place,
    metres: z._default(positive.check(z.maximum(50)), 2),
    /** Pressure during the stretch as a share of the recipe's minimum. */
    share: z._default(positive.check(z.maximum(0.98)), 0.8),
    /** The driller goes back and sweeps the stretch again. */
    repaired: z._default(z.boolean(), false),
  }),
  z.object({
    kind: z.literal('high pressure'),
    ...place,
    metres: z._default(positive.check(z.maximum(50)), 1),
    /** Pressure during the stretch as a share of the recipe's maximum. */
    share: z._default(z.number().check(z.minimum(1.02), z.maximum(2)), 1.12),
  }),
  z.object({ kind: z.literal('rotation lost'), ...place, metres: z._default(positive.check(z.maximum(50)), 1) }),
  z.object({
    kind: z.literal('fast feed'),
    ...place,
    metres: z._default(positive.check(z.maximum(50)), 2),
    /** Feed during the stretch as a share of the recipe's maximum. */
    share: z._default(z.number().check(z.minimum(1.05), z.maximum(4)), 1.4),
  }),
  z.object({ kind: z.literal('data gap'), ...place, seconds: z._default(positive.check(z.maximum(7200)), 40) }),
  /** Grows over `metres` until this share of the flow no longer reaches the nozzles. */
  z.object({
    kind: z.literal('washout'),
    ...place,
    metres: z._default(positive.check(z.maximum(50)), 6),
    share: z._default(positive.check(z.maximum(0.5)), 0.15),
  }),
  /** Until this share of the nozzles' area is left. */
  z.object({
    kind: z.literal('plugging'),
    ...place,
    metres: z._default(positive.check(z.maximum(50)), 6),
    share: z._default(z.number().check(z.minimum(0.3), z.maximum(0.98)), 0.88),
  }),
  /** Until the pumps deliver this share of what their strokes say. */
  z.object({
    kind: z.literal('pump mismatch'),
    ...place,
    metres: z._default(positive.check(z.maximum(50)), 4),
    share: z._default(z.number().check(z.minimum(0.3), z.maximum(0.98)), 0.8),
  }),
  /** On an isolation joint: bled off and pumped up again, the valve stays on the low path; or stays high below its flow. */
  z.object({ kind: z.literal('valve not shifted'), ...place }),
  z.object({ kind: z.literal('valve not reset'), ...place }),
]);
export type Incident = z.infer<typeof incidentSchema>;

/** What goes wrong while the hanger is set; the driller meets it and does the step again. */
export const HANGER_FAULTS = [
  'ball overdue',
  'step leaks',
  'hanger moves',
  'annulus test declines',
  'liner not released',
] as const;
export type HangerFault = (typeof HANGER_FAULTS)[number];
/** The trip starts with the liner on the string: the plan's balls and hanger are worked before the expansion. */
export const hangerWorkSchema = z.object({
  faults: z._default(z.array(z.enum(HANGER_FAULTS)).check(z.maxLength(HANGER_FAULTS.length)), []),
  /** The plan's circulating sub is opened by its ball after the expansion. */
  openSub: z._default(z.boolean(), false),
});

export const drillerSchema = z.object({
  /** Feed while expanding, m/min. */
  feed: z.prefault(z.object({ isolation: z._default(positive, 1.1), screen: z._default(positive, 1.2) }), {}),
  rpm: z.prefault(z.object({ isolation: z._default(positive, 28), screen: z._default(positive, 30) }), {}),
  /** Where in the recipe's pressure window he works: 0 its minimum, 1 its maximum. */
  pressureShare: z._default(z.number().check(z.minimum(0.1), z.maximum(0.9)), 0.5),
  /** Speed over pipe that is not to be expanded, m/min. */
  travelSpeed: z._default(positive.check(z.maximum(30)), 4),
  /** Threaded connections between two joints of one tool: with the pressure taken off, or kept. */
  crossing: z._default(z.enum(['pressure off', 'pressure kept']), 'pressure off'),
  /** How far above the first part to be expanded the trip starts, m. */
  startAbove: z._default(positive.check(z.maximum(500)), 6),
});

export const rigSchema = z.object({
  /** The plan's block weight, else this, kN. */
  blockWeight: z._default(positive, 180),
  standLength: z._default(positive, 28.5),
  /** The block goes no lower than this; a stand is added there, m. */
  blockLow: z._default(positive, 2.5),
  /** Where the block hangs at the start, m. */
  blockStart: z._default(positive, 24),
  /** Set-down presses the string of the plan together, as the surface sees it. */
  gives: z._default(z.boolean(), false),
  /** What the reported end depth is more than the true one, m. */
  depthError: z._default(z.number().check(z.minimum(-20), z.maximum(20)), 0),
  stringLoss: z.prefault(z.object({ flow: z._default(positive, 900), pressure: z._default(positive, 1500) }), {}),
});

export const scenarioSchema = z.object({
  format: z.literal(SCENARIO_FORMAT),
  units: z.literal('metric'),
  /** The plan's file, beside the scenario. */
  plan: z.string().check(z.maxLength(255)),
  seed: z.int(),
  startAt: z.iso.datetime(),
  /** A player sends everything before this at once, so that a demo opens where things happen, s after the start. */
  opensAfter: z._default(notNegative.check(z.maximum(30 * 86_400)), 0),
  /** Scale of the sensor noise; 0 none, 1 usual. */
  noise: z._default(notNegative.check(z.maximum(10)), 1),
  stream: z.prefault(scenarioStreamSchema, {}),
  driller: z.prefault(drillerSchema, {}),
  rig: z.prefault(rigSchema, {}),
  /** Left out: the hanger is set already. */
  hanger: z.optional(hangerWorkSchema),
  /** The plan's shear device is tagged before the first joint; it shears at this share of the least set-down. Left out: no tag. */
  tag: z.optional(z.object({ share: z._default(z.number().check(z.minimum(0.1), z.maximum(5)), 1.5) })),
  incidents: z._default(z.array(incidentSchema).check(z.maxLength(SCENARIO_LIMITS.incidents)), []),
});
export type Scenario = z.infer<typeof scenarioSchema>;
export type ScenarioInput = z.input<typeof scenarioSchema>;
export type IncidentInput = z.input<typeof incidentSchema>;
