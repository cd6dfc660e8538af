/** The plan file, `jointwise-plan/1`: zod schemas, from which the published JSON Schema is made. */
import { z } from 'zod/mini';
import { CHANNEL_IDS, type ChannelId } from '../channels.ts';
import { timePlanSchema } from '../time/timePlan.ts';
import { UNIT_NAMES, type UnitName } from '../units.ts';
import { engineeringShape, limitsSchema, surfaceSchema } from './engineeringSchema.ts';

export const PLAN_FORMAT = 'jointwise-plan/1';

/** A plan is bounded before it is read: a liner of 2,000 joints is ten times the longest ever run. */
export const PLAN_LIMITS = { bytes: 4 * 1024 * 1024, joints: 2000, tools: 8, nulls: 32, channels: 512 } as const;

const positive = z.number().check(z.positive());
const notNegative = z.number().check(z.nonnegative());
/** Names are keys of what is worked out: `__proto__` would be none. */
const name = z.string().check(
  z.trim(),
  z.minLength(1),
  z.maxLength(64),
  // Half a character, which JSON can spell, can be in no address and in no file.
  z.regex(/^(?!__proto__$)\P{Cs}*$/u, 'another name'),
);

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
  channel: z.nullable(z.enum(CHANNEL_IDS as [ChannelId, ...ChannelId[]])),
  unit: z.optional(z.enum(UNIT_NAMES as [UnitName, ...UnitName[]])),
  scale: z.optional(z.number()),
  offset: z.optional(z.number()),
});
export type ChannelMapping = z.infer<typeof channelMappingSchema>;

export const channelsSchema = z
  .record(
    z
      .string()
      .check(
        z.regex(
          CHANNEL_KEY,
          'an item code of four digits, for example "0114", or the name of a column, at most 64 characters',
        ),
      ),
    channelMappingSchema,
  )
  .check(z.refine((map) => Object.keys(map).length <= PLAN_LIMITS.channels, `at most ${PLAN_LIMITS.channels} items`));

/** A channel map in a file of its own, edited apart from the plan. */
export const CHANNELS_FORMAT = 'jointwise-channels/1';
export const channelsFileSchema = z.object({ format: z.literal(CHANNELS_FORMAT), channels: channelsSchema });

export const streamSchema = z.object({
  units: z.optional(unitSystemSchema),
  utcOffset: z._default(
    z.string().check(z.regex(/^[+-](0\d|1[0-4]):[0-5]\d$/, 'an offset such as "+01:00"')),
    '+00:00',
  ),
  nulls: z._default(z.array(z.number()).check(z.maxLength(PLAN_LIMITS.nulls)), [-999.25, -9999, -8888]),
  gapAfter: z._default(positive.check(z.maximum(3600)), 5),
  channels: z.optional(channelsSchema),
});

export const jointSchema = z.object({
  name,
  kind: z.enum(JOINT_KINDS),
  length: positive.check(z.maximum(1000)),
  expandFrom: z.optional(notNegative),
  expandTo: z.optional(positive),
  zone: z.optional(z.string().check(z.maxLength(64))),
  /** Outside diameters before and after expansion, and the thickness of the elastomer outside an isolation joint. */
  od: z.optional(positive),
  expandedOd: z.optional(positive),
  elastomer: z.optional(z.object({ thickness: positive })),
});

export const toolSchema = z.object({
  name,
  offset: z.number().check(z.minimum(0), z.maximum(1000)),
  /** Inside diameters of the hole that the rollers can follow. */
  range: z.optional(z.object({ min: positive, max: positive })),
});

export const recipeSchema = z.object({
  tools: z.array(name).check(z.minLength(1), z.maxLength(PLAN_LIMITS.tools)),
  pressure: z.optional(
    z.object({
      at: z._default(z.enum(['standpipe', 'tool']), 'standpipe'),
      min: z.optional(notNegative),
      max: z.optional(positive),
    }),
  ),
  rpm: z.optional(z.object({ min: z.optional(notNegative) })),
  feed: z.optional(z.object({ max: z.optional(positive) })),
  /** Millimetres (metric) or inches (field) a revolution. */
  feedPerTurn: z.optional(z.object({ max: z.optional(positive) })),
  torque: z.optional(z.object({ max: z.optional(positive) })),
});

export const planSchema = z.object({
  format: z.literal(PLAN_FORMAT),
  units: unitSystemSchema,
  job: z.optional(
    z.object({
      well: z.optional(z.string().check(z.maxLength(200))),
      rig: z.optional(z.string().check(z.maxLength(200))),
    }),
  ),
  stream: z.optional(streamSchema),
  liner: z.object({
    top: notNegative,
    joints: z.array(jointSchema).check(z.minLength(1), z.maxLength(PLAN_LIMITS.joints)),
  }),
  tools: z.array(toolSchema).check(z.minLength(1), z.maxLength(PLAN_LIMITS.tools)),
  recipes: z.object({ isolation: z.optional(recipeSchema), screen: z.optional(recipeSchema) }),
  acceptance: z.optional(
    z.object({
      coverage: z.optional(z.number().check(z.minimum(0), z.maximum(1))),
      longestGap: z.optional(notNegative),
    }),
  ),
  limits: z.optional(limitsSchema),
  surface: z.optional(surfaceSchema),
  ...engineeringShape,
  time: z.optional(timePlanSchema),
});
export type Plan = z.infer<typeof planSchema>;
export type PlanJoint = z.infer<typeof jointSchema>;
export type PlanRecipe = z.infer<typeof recipeSchema>;
