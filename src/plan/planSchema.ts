/** The plan file, `jointwise-plan/1`: zod schemas, from which the published JSON Schema is made. */
import { z } from 'zod';
import { CHANNEL_IDS, type ChannelId } from '../channels.ts';
import { UNIT_NAMES, type UnitName } from '../units.ts';
import { engineeringShape, limitsSchema, surfaceSchema } from './engineeringSchema.ts';

export const PLAN_FORMAT = 'jointwise-plan/1';

/** A plan is bounded before it is read: a liner of 2,000 joints is ten times the longest ever run. */
export const PLAN_LIMITS = { bytes: 4 * 1024 * 1024, joints: 2000, tools: 8, nulls: 32, channels: 512 } as const;

const positive = z.number().positive();
const notNegative = z.number().nonnegative();
/** Names are keys of what is worked out: `__proto__` would be none. */
const name = z
  .string()
  .trim()
  .min(1)
  .max(64)
  .regex(/^(?!__proto__$)/, 'another name');

export const unitSystemSchema = z.enum(['metric', 'field']);

export const JOINT_KINDS = ['hanger', 'isolation', 'screen', 'blank', 'shoe'] as const;
export type JointKind = (typeof JOINT_KINDS)[number];
export const EXPANDED_KINDS = ['isolation', 'screen'] as const;
export type ExpandedKind = (typeof EXPANDED_KINDS)[number];

/**
 * What a key of a channel map may be: a WITS item code, or the name of a column as a table writes it (a mnemonic, a title),
 * which is no mere number, so that "114" is still told from "0114". Names that JavaScript gives a meaning are none.
 */
const CHANNEL_KEY = /^(?:\d{4}|(?!\d+$)(?!__proto__$)[^\s\p{C}](?:[^\p{C}]{0,62}[^\s\p{C}])?)$/u;

/** One item of the source and the channel it feeds; `unit` is what the source really sends. */
export const channelMappingSchema = z.object({
  channel: z.enum(CHANNEL_IDS as [ChannelId, ...ChannelId[]]).nullable(),
  unit: z.enum(UNIT_NAMES as [UnitName, ...UnitName[]]).optional(),
  scale: z.number().optional(),
  offset: z.number().optional(),
});
export type ChannelMapping = z.infer<typeof channelMappingSchema>;

export const channelsSchema = z
  .record(
    z
      .string()
      .regex(
        CHANNEL_KEY,
        'an item code of four digits, for example "0114", or the name of a column, at most 64 characters',
      ),
    channelMappingSchema,
  )
  .refine((map) => Object.keys(map).length <= PLAN_LIMITS.channels, `at most ${PLAN_LIMITS.channels} items`);

/** A channel map in a file of its own, edited apart from the plan. */
export const CHANNELS_FORMAT = 'jointwise-channels/1';
export const channelsFileSchema = z.object({ format: z.literal(CHANNELS_FORMAT), channels: channelsSchema });

export const streamSchema = z.object({
  units: unitSystemSchema.optional(),
  utcOffset: z
    .string()
    .regex(/^[+-](0\d|1[0-4]):[0-5]\d$/, 'an offset such as "+01:00"')
    .default('+00:00'),
  nulls: z.array(z.number()).max(PLAN_LIMITS.nulls).default([-999.25, -9999, -8888]),
  gapAfter: positive.max(3600).default(5),
  channels: channelsSchema.optional(),
});

export const jointSchema = z.object({
  name,
  kind: z.enum(JOINT_KINDS),
  length: positive.max(1000),
  expandFrom: notNegative.optional(),
  expandTo: positive.optional(),
  zone: z.string().max(64).optional(),
  /** Outside diameters before and after expansion, and the thickness of the elastomer outside an isolation joint. */
  od: positive.optional(),
  expandedOd: positive.optional(),
  elastomer: z.object({ thickness: positive }).optional(),
});

export const toolSchema = z.object({
  name,
  offset: z.number().min(0).max(1000),
  /** Inside diameters of the hole that the rollers can follow. */
  range: z.object({ min: positive, max: positive }).optional(),
});

export const recipeSchema = z.object({
  tools: z.array(name).min(1).max(PLAN_LIMITS.tools),
  pressure: z
    .object({
      at: z.enum(['standpipe', 'tool']).default('standpipe'),
      min: notNegative.optional(),
      max: positive.optional(),
    })
    .optional(),
  rpm: z.object({ min: notNegative.optional() }).optional(),
  feed: z.object({ max: positive.optional() }).optional(),
  /** Millimetres (metric) or inches (field) a revolution. */
  feedPerTurn: z.object({ max: positive.optional() }).optional(),
  torque: z.object({ max: positive.optional() }).optional(),
});

export const planSchema = z.object({
  format: z.literal(PLAN_FORMAT),
  units: unitSystemSchema,
  job: z.object({ well: z.string().max(200).optional(), rig: z.string().max(200).optional() }).optional(),
  stream: streamSchema.optional(),
  liner: z.object({ top: notNegative, joints: z.array(jointSchema).min(1).max(PLAN_LIMITS.joints) }),
  tools: z.array(toolSchema).min(1).max(PLAN_LIMITS.tools),
  recipes: z.object({ isolation: recipeSchema.optional(), screen: recipeSchema.optional() }),
  acceptance: z
    .object({ coverage: z.number().min(0).max(1).optional(), longestGap: notNegative.optional() })
    .optional(),
  limits: limitsSchema.optional(),
  surface: surfaceSchema.optional(),
  ...engineeringShape,
});
export type Plan = z.infer<typeof planSchema>;
export type PlanJoint = z.infer<typeof jointSchema>;
export type PlanRecipe = z.infer<typeof recipeSchema>;
