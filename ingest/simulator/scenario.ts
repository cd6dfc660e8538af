/**
 * The description of a simulated trip, `jointwise-scenario/1`: which plan is worked, how the rig and its driller
 * behave, what goes wrong, and what the stream looks like. All numbers are metric (the inside units).
 */
import { z } from 'zod';
import { unitSystemSchema } from '../../src/plan/planSchema.ts';

export const SCENARIO_FORMAT = 'jointwise-scenario/1';
export const SCENARIO_LIMITS = { incidents: 200 } as const;

const positive = z.number().positive();
const notNegative = z.number().nonnegative();

/** Steps in which a depth or block reading comes. */
export const RESOLUTIONS = { '0.01 m': 0.01, '0.1 m': 0.1, '0.01 ft': 0.003048, '0.1 ft': 0.03048 } as const;
const resolution = z.enum(['0.01 m', '0.1 m', '0.01 ft', '0.1 ft']);
export type Resolution = z.infer<typeof resolution>;

export const scenarioStreamSchema = z.object({
  /** Units of the WITS items; those of the plan's stream when left out. */
  units: unitSystemSchema.optional(),
  framePeriod: z.number().int().min(1).max(5).default(1),
  depthResolution: resolution.default('0.01 m'),
  blockResolution: resolution.default('0.01 m'),
  /** Record 5 with the in-slips flag beside every record 1. */
  record5: z.boolean().default(false),
  /** Record 11 with the tank volumes every tenth frame. */
  record11: z.boolean().default(false),
});

const place = { joint: z.string(), into: notNegative };
/** What goes wrong: on `joint`, when its tool has got `into` metres into the part to be expanded. */
export const incidentSchema = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('stall'), ...place, seconds: positive.max(3600).default(60) }),
  z.object({
    kind: z.literal('low pressure'),
    ...place,
    metres: positive.max(50).default(2),
    /** Pressure during the stretch as a share of the recipe's minimum. */
    share: positive.max(0.98).default(0.8),
    /** The driller goes back and sweeps the stretch again. */
    repaired: z.boolean().default(false),
  }),
  z.object({
    kind: z.literal('high pressure'),
    ...place,
    metres: positive.max(50).default(1),
    /** Pressure during the stretch as a share of the recipe's maximum. */
    share: z.number().min(1.02).max(2).default(1.12),
  }),
  z.object({ kind: z.literal('rotation lost'), ...place, metres: positive.max(50).default(1) }),
  z.object({
    kind: z.literal('fast feed'),
    ...place,
    metres: positive.max(50).default(2),
    /** Feed during the stretch as a share of the recipe's maximum. */
    share: z.number().min(1.05).max(4).default(1.4),
  }),
  z.object({ kind: z.literal('data gap'), ...place, seconds: positive.max(7200).default(40) }),
  /** Grows over `metres` until this share of the flow no longer reaches the nozzles. */
  z.object({
    kind: z.literal('washout'),
    ...place,
    metres: positive.max(50).default(6),
    share: positive.max(0.5).default(0.15),
  }),
  /** Until this share of the nozzles' area is left. */
  z.object({
    kind: z.literal('plugging'),
    ...place,
    metres: positive.max(50).default(6),
    share: z.number().min(0.3).max(0.98).default(0.88),
  }),
  /** Until the pumps deliver this share of what their strokes say. */
  z.object({
    kind: z.literal('pump mismatch'),
    ...place,
    metres: positive.max(50).default(4),
    share: z.number().min(0.3).max(0.98).default(0.8),
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
  faults: z.array(z.enum(HANGER_FAULTS)).max(HANGER_FAULTS.length).default([]),
  /** The plan's circulating sub is opened by its ball after the expansion. */
  openSub: z.boolean().default(false),
});

export const drillerSchema = z.object({
  /** Feed while expanding, m/min. */
  feed: z.object({ isolation: positive.default(1.1), screen: positive.default(1.2) }).prefault({}),
  rpm: z.object({ isolation: positive.default(28), screen: positive.default(30) }).prefault({}),
  /** Where in the recipe's pressure window he works: 0 its minimum, 1 its maximum. */
  pressureShare: z.number().min(0.1).max(0.9).default(0.5),
  /** Speed over pipe that is not to be expanded, m/min. */
  travelSpeed: positive.max(30).default(4),
  /** Threaded connections between two joints of one tool: with the pressure taken off, or kept. */
  crossing: z.enum(['pressure off', 'pressure kept']).default('pressure off'),
  /** How far above the first part to be expanded the trip starts, m. */
  startAbove: positive.max(500).default(6),
});

export const rigSchema = z.object({
  /** The plan's block weight, else this, kN. */
  blockWeight: positive.default(180),
  standLength: positive.default(28.5),
  /** The block goes no lower than this; a stand is added there, m. */
  blockLow: positive.default(2.5),
  /** Where the block hangs at the start, m. */
  blockStart: positive.default(24),
  /** Set-down presses the string of the plan together, as the surface sees it. */
  gives: z.boolean().default(false),
  /** What the reported end depth is more than the true one, m. */
  depthError: z.number().min(-20).max(20).default(0),
  stringLoss: z.object({ flow: positive.default(900), pressure: positive.default(1500) }).prefault({}),
});

export const scenarioSchema = z.object({
  format: z.literal(SCENARIO_FORMAT),
  units: z.literal('metric'),
  /** The plan's file, beside the scenario. */
  plan: z.string().max(255),
  seed: z.number().int(),
  startAt: z.iso.datetime(),
  /** A player sends everything before this at once, so that a demo opens where things happen, s after the start. */
  opensAfter: notNegative.max(30 * 86_400).default(0),
  /** Scale of the sensor noise; 0 none, 1 usual. */
  noise: notNegative.max(10).default(1),
  stream: scenarioStreamSchema.prefault({}),
  driller: drillerSchema.prefault({}),
  rig: rigSchema.prefault({}),
  /** Left out: the hanger is set already. */
  hanger: hangerWorkSchema.optional(),
  /** The plan's shear device is tagged before the first joint; it shears at this share of the least set-down. Left out: no tag. */
  tag: z.object({ share: z.number().min(0.1).max(5).default(1.5) }).optional(),
  incidents: z.array(incidentSchema).max(SCENARIO_LIMITS.incidents).default([]),
});
export type Scenario = z.infer<typeof scenarioSchema>;
export type ScenarioInput = z.input<typeof scenarioSchema>;
export type IncidentInput = z.input<typeof incidentSchema>;
