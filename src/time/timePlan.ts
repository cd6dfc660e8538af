/** The part `time` of a plan: where a day is cut, what is planned, which cause codes there are; and what stands in for it. */
import { z } from 'zod/mini';
import { ACTIVITY_NAMES, type ActivityName } from './activities.ts';
import { codeSchema } from './timeEntry.ts';

const TIME_PLAN_LIMITS = { codes: 100, minutes: 365 * 24 * 60 } as const;

export const timePlanSchema = z.object({
  /** Where a day of the sheet ends and the next begins, rig time. */
  dayCut: z.optional(z.string().check(z.regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'a time of day such as "06:00"'))),
  planned: z.optional(
    z
      .array(
        z.object({
          activity: z.enum(ACTIVITY_NAMES),
          minutes: z.number().check(z.nonnegative(), z.maximum(TIME_PLAN_LIMITS.minutes)),
        }),
      )
      .check(z.maxLength(ACTIVITY_NAMES.length)),
  ),
  /** Causes of lost time. */
  codes: z.optional(
    z
      .array(z.object({ code: codeSchema, says: z.string().check(z.maxLength(200)) }))
      .check(z.minLength(1), z.maxLength(TIME_PLAN_LIMITS.codes)),
  ),
  /** Minutes that the work may stand before a cause is asked for. */
  askAfter: z.optional(z.number().check(z.nonnegative(), z.maximum(24 * 60))),
});
export type TimePlan = z.infer<typeof timePlanSchema>;

/** What is used where the plan says nothing (common practice); the time sheet lists which of them were. */
export const TIME_DEFAULTS = {
  dayCut: '06:00',
  askAfter: 15,
  codes: [
    { code: 'RIG', says: 'repair of the rig, its pumps or its drive' },
    { code: 'TOOL', says: 'trouble with the expansion tools or the running tool' },
    { code: 'HOLE', says: 'trouble with the hole: stuck, losses, gain, cleaning' },
    { code: 'FLUID', says: 'conditioning or mixing of fluid' },
    { code: 'DATA', says: 'no readings, or readings that nobody trusted' },
    { code: 'ORDERS', says: 'waiting for a decision' },
    { code: 'PEOPLE', says: 'waiting for people or equipment' },
    { code: 'WEATHER', says: 'waiting for weather or sea' },
    { code: 'OTHER', says: 'anything else' },
  ],
} as const satisfies Required<Omit<TimePlan, 'planned'>>;

export interface TimeRules {
  readonly dayCutMs: number;
  readonly askAfterMs: number;
  readonly codes: readonly { readonly code: string; readonly says: string }[];
  readonly plannedMs: ReadonlyMap<ActivityName, number>;
  /** Keys of `time` that the plan leaves out. */
  readonly defaults: readonly (keyof typeof TIME_DEFAULTS)[];
}

const MINUTE_MS = 60_000;

export function timeRules(plan: TimePlan = {}): TimeRules {
  const [hours, minutes] = (plan.dayCut ?? TIME_DEFAULTS.dayCut).split(':').map(Number);
  const planned = (plan.planned ?? []).map((row) => [row.activity, Math.round(row.minutes * MINUTE_MS)] as const);
  return {
    dayCutMs: (hours! * 60 + minutes!) * MINUTE_MS,
    askAfterMs: Math.round((plan.askAfter ?? TIME_DEFAULTS.askAfter) * MINUTE_MS),
    codes: plan.codes ?? TIME_DEFAULTS.codes,
    plannedMs: new Map(planned),
    defaults: (['dayCut', 'askAfter', 'codes'] as const).filter((key) => plan[key] === undefined),
  };
}
