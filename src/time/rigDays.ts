/**
 * Days as the rig's clocks show them, cut at a time of day. A rig may change its clocks: then a day has 23 or 25 hours, and
 * no instant is in two days or in none.
 */

const DAY_MS = 24 * 3600_000;

/** Rig time less UTC from an instant on; the first is in force before its instant too. */
export interface OffsetFrom {
  readonly fromMs: number;
  readonly offsetMs: number;
}

/** In force at an instant. @param offsets at least one, in the order of their instants */
export function offsetAt(offsets: readonly OffsetFrom[], ms: number): number {
  let found = offsets[0]!.offsetMs;
  for (const { fromMs, offsetMs } of offsets) if (fromMs <= ms) found = offsetMs;
  return found;
}

/**
 * When the clocks first show the cut of a day or later, ms since 1970 UTC: a cut that is skipped lies where they were set,
 * one that is passed twice at the first time.
 * @param day days since 1970 of the date
 */
export function dayStart(offsets: readonly OffsetFrom[], cutMs: number, day: number): number {
  for (let i = 0; ; i += 1) {
    const start = i === 0 ? -Infinity : offsets[i]!.fromMs;
    const end = offsets[i + 1]?.fromMs ?? Infinity;
    const at = day * DAY_MS + cutMs - offsets[i]!.offsetMs;
    if (at < end) return Math.max(at, start);
  }
}

export interface RigDay {
  /** Of its beginning, as the clocks show it. */
  readonly date: string;
  readonly fromMs: number;
  readonly toMs: number;
}

/** The days that have a part in [fromMs, toMs), in order, each whole; none where that is empty. */
export function rigDays(offsets: readonly OffsetFrom[], cutMs: number, fromMs: number, toMs: number): RigDay[] {
  const days: RigDay[] = [];
  if (!(toMs > fromMs)) return days;
  // No clock is further from UTC than a day: two days before, none has begun that matters.
  for (let day = Math.floor((fromMs - cutMs) / DAY_MS) - 2; ; day += 1) {
    const start = dayStart(offsets, cutMs, day);
    const end = dayStart(offsets, cutMs, day + 1);
    if (start >= toMs) return days;
    if (end > fromMs && end > start) {
      days.push({ date: new Date(day * DAY_MS).toISOString().slice(0, 10), fromMs: start, toMs: end });
    }
  }
}
