/** The time axis: even steps in rig time, and how a moment is written. Rig time is UTC plus the plan's offset. */

const S = 1000;
const MIN = 60 * S;
const H = 60 * MIN;
const DAY = 24 * H;
const STEPS_MS = [
  S,
  2 * S,
  5 * S,
  10 * S,
  15 * S,
  30 * S,
  MIN,
  2 * MIN,
  5 * MIN,
  10 * MIN,
  15 * MIN,
  30 * MIN,
  H,
  2 * H,
  3 * H,
  6 * H,
  12 * H,
  DAY,
  2 * DAY,
  7 * DAY,
] as const;
const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

const two = (n: number): string => String(n).padStart(2, '0');

/** The shortest step that leaves `spacePx` between two marks, ms. */
export function timeStepMs(spanMs: number, widthPx: number, spacePx: number): number {
  const least = (spanMs * spacePx) / Math.max(1, widthPx);
  return STEPS_MS.find((step) => step >= least) ?? STEPS_MS[STEPS_MS.length - 1]!;
}

/** The moments to mark: whole steps of the rig's own clock. */
export function timeMarks(fromMs: number, toMs: number, stepMs: number, offsetMs: number): number[] {
  const marks: number[] = [];
  for (let ms = Math.ceil((fromMs + offsetMs) / stepMs) * stepMs - offsetMs; ms <= toMs; ms += stepMs) marks.push(ms);
  return marks;
}

/** A mark on the axis: the date at midnight, else the time, with seconds where the steps are that fine. */
export function markText(ms: number, stepMs: number, offsetMs: number): string {
  const rig = new Date(ms + offsetMs);
  if (rig.getTime() % DAY === 0) return `${rig.getUTCDate()} ${MONTHS[rig.getUTCMonth()]}`;
  return stepMs < MIN ? clockText(ms, offsetMs) : clockText(ms, offsetMs).slice(0, 5);
}

/** `14:03:20` in rig time. */
export function clockText(ms: number, offsetMs: number): string {
  const rig = new Date(ms + offsetMs);
  return `${two(rig.getUTCHours())}:${two(rig.getUTCMinutes())}:${two(rig.getUTCSeconds())}`;
}

/** `4 Mar 14:03:20` in rig time. */
export function momentText(ms: number, offsetMs: number): string {
  const rig = new Date(ms + offsetMs);
  return `${rig.getUTCDate()} ${MONTHS[rig.getUTCMonth()]} ${clockText(ms, offsetMs)}`;
}

/** `UTC+01:00` */
export function offsetText(offsetMs: number): string {
  const minutes = Math.abs(Math.round(offsetMs / MIN));
  return `UTC${offsetMs < 0 ? '−' : '+'}${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;
}

/** A length of time in the two largest units that matter: `2 h 10 min`, `45 s`. */
export function spanText(ms: number): string {
  const s = Math.round(ms / S);
  if (s < 120) return `${s} s`;
  const minutes = Math.round(s / 60);
  if (minutes < 120) return `${minutes} min`;
  const rest = minutes % 60;
  return rest === 0 ? `${minutes / 60} h` : `${Math.floor(minutes / 60)} h ${rest} min`;
}
