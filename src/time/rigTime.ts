/** An instant as the rig's own clocks show it, with its distance from UTC: `2031-03-04T07:00:00.000+01:00`. */

const MINUTE_MS = 60_000;
const two = (value: number): string => String(value).padStart(2, '0');

/** @param offsetMs rig time less UTC, whole minutes within a day */
export function rigTimeText(ms: number, offsetMs: number): string {
  const minutes = Math.abs(offsetMs) / MINUTE_MS;
  const sign = offsetMs < 0 ? '-' : '+';
  const local = new Date(Math.round(ms) + offsetMs).toISOString().slice(0, -1);
  return `${local}${sign}${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;
}
