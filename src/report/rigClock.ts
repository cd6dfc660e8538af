/** Instants on a sheet as the rig's clocks showed them, where there is no job to ask. */
import { offsetLabel, rigDate, rigTime } from '../figures.ts';

const ZONE = /([+-])(\d\d):(\d\d)$/;

/** @param rigText an instant of rig time with its distance from UTC @returns ms; 0 where it says Z */
export function offsetOf(rigText: string): number {
  const [, sign, hours, minutes] = ZONE.exec(rigText) ?? [];
  if (hours === undefined) return 0;
  return (sign === '-' ? -1 : 1) * (Number(hours) * 60 + Number(minutes)) * 60_000;
}

export interface RigClock {
  readonly zone: string;
  /** Date and time of day. */
  whole(ms: number): string;
  /** Without the date where it is that of `sameDay`. */
  short(ms: number): string;
}

/** @param sameDay ms, an instant whose date goes without saying; null: none does */
export function rigClock(offsetMs: number, sameDay: number | null): RigClock {
  const whole = (ms: number): string => `${rigDate(ms, offsetMs)} ${rigTime(ms, offsetMs)}`;
  const day = sameDay === null ? '' : rigDate(sameDay, offsetMs);
  return {
    zone: offsetLabel(offsetMs),
    whole,
    short: (ms) => (rigDate(ms, offsetMs) === day ? rigTime(ms, offsetMs) : whole(ms)),
  };
}
