/** Joints over several runs, side by side. Values in metric units (`measures` names them). */
import { z } from 'zod/mini';
import { VERDICTS } from '../causes.ts';
import { EXPANDED_KINDS } from '../plan/planSchema.ts';
import { MEASURE_NAMES } from './measures.ts';

export const TOGETHER_LIMITS = {
  /** Runs that are laid side by side. */
  runs: 50,
  /** Rows of joints in one answer; the statistics are of all. */
  joints: 5000,
  odd: 200,
} as const;

export const HOLE_CLASSES = ['in gauge', 'over gauge', 'tight', 'not logged'] as const;
export type HoleClass = (typeof HOLE_CLASSES)[number];

/** What joints of one kind are parted by. */
export const GROUPINGS = ['kind', 'zone', 'caliper', 'run'] as const;

const measure = z.enum(MEASURE_NAMES);
const kind = z.enum(EXPANDED_KINDS);

export const jointRowSchema = z.object({
  run: z.string(),
  joint: z.string(),
  kind,
  zone: z.nullable(z.string()),
  /** What the hole along it is; null without a caliper log, or a range of the tool. */
  caliper: z.nullable(z.enum(HOLE_CLASSES)),
  verdict: z.enum(VERDICTS),
  values: z.record(measure, z.nullable(z.number())),
});

const spreadSchema = z.object({
  count: z.int(),
  median: z.number(),
  /** 1.4826 times the median absolute deviation. */
  sigma: z.number(),
  least: z.number(),
  most: z.number(),
});

export const togetherSchema = z.object({
  runs: z.array(
    z.object({
      id: z.string(),
      name: z.string(),
      from: z.iso.datetime(),
      to: z.iso.datetime(),
      joints: z.int(),
      expanded: z.int(),
    }),
  ),
  measures: z.array(z.object({ measure, says: z.string(), unit: z.string(), decimals: z.int() })),
  joints: z.array(jointRowSchema),
  jointsLeftOut: z.int(),
  groups: z.array(
    z.object({
      by: z.enum(GROUPINGS),
      kind,
      /** Of the zone, the class of hole or the run; that of the kind itself. */
      name: z.string(),
      joints: z.int(),
      spreads: z.record(measure, z.nullable(spreadSchema)),
    }),
  ),
  /** Joints that are unlike the others of their kind, the furthest off first. */
  odd: z.array(
    z.object({
      run: z.string(),
      joint: z.string(),
      kind,
      measure,
      value: z.number(),
      /** Of the joints of its kind in all runs, how many there are, and how far off this one is, in robust σ. */
      median: z.number(),
      count: z.int(),
      score: z.number(),
      why: z.string(),
    }),
  ),
  oddLeftOut: z.int(),
  rule: z.string(),
});
export type Together = z.infer<typeof togetherSchema>;
export type JointRow = z.infer<typeof jointRowSchema>;
