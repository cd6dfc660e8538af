/** How long something lasted, as it is written. */
import { UNKNOWN } from './figures.ts';

/** Minutes and seconds, hours where there are any: `4:07`, `1:02:10`. */
export function lasted(ms: number): string {
  if (!Number.isFinite(ms)) return UNKNOWN;
  const s = Math.round(ms / 1000);
  const two = (n: number): string => String(n).padStart(2, '0');
  const minutes = Math.floor(s / 60);
  return minutes < 60 ? `${minutes}:${two(s % 60)}` : `${Math.floor(minutes / 60)}:${two(minutes % 60)}:${two(s % 60)}`;
}
