/** Instants as ISO 8601 with their zone. */

/**
 * @param ms since 1970 UTC, rounded to a whole one @param utcOffsetMs added to UTC; 0 is written as Z
 * @returns `2031-03-04T05:30:00.000+05:30`
 */
export function instantText(ms: number, utcOffsetMs: number): string {
  const local = new Date(Math.round(ms) + utcOffsetMs).toISOString();
  return utcOffsetMs === 0 ? local : local.replace('Z', zoneText(utcOffsetMs));
}

function zoneText(utcOffsetMs: number): string {
  const minutes = Math.abs(Math.round(utcOffsetMs / 60_000));
  const two = (n: number): string => String(n).padStart(2, '0');
  return `${utcOffsetMs < 0 ? '-' : '+'}${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;
}
