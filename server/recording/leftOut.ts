/**
 * What is damaged in the log of a run and was left out when it was worked through: named, and where it is known between which
 * samples it lies, a hole in time. Damages without a whole record between them are one place.
 */
import { LEFT_OUT_LIMITS, type LeftOutState } from '../../src/live/messages.ts';
import type { Damage } from '../keep/readLog.ts';

interface Place {
  readonly line: string;
  fromMs: number | null;
  toMs: number | null;
}

export class LeftOut {
  readonly #places: Place[] = [];
  #count = 0;
  #last: Damage | undefined;
  /** Where the bytes of the source stop that come before it, for those that have not been reached yet. */
  readonly #ahead: { readonly place: Place; readonly atBytes: number }[] = [];
  /** Those behind which no sample has come yet. */
  #open: Place[] = [];

  /** @param atBytes how many bytes of the source the log gives out before it; left out: they are worked in already */
  take(damage: Damage, atBytes?: number): void {
    const last = this.#last;
    this.#last = damage;
    if (last && last.afterNumber === damage.afterNumber && last.beforeNumber === damage.beforeNumber) return;
    this.#count += 1;
    if (this.#places.length >= LEFT_OUT_LIMITS.places) return;
    const place: Place = { line: leftOutLine(damage), fromMs: null, toMs: null };
    this.#places.push(place);
    if (atBytes !== undefined) this.#ahead.push({ place, atBytes });
  }

  /** The source has given so many bytes, and the newest sample is that of an instant: -Infinity for none. */
  reached(bytes: number, lastMs: number): void {
    for (let next = this.#ahead[0]; next && next.atBytes <= bytes; next = this.#ahead[0]) {
      this.#ahead.shift();
      if (Number.isFinite(lastMs)) next.place.fromMs = lastMs;
      this.#open.push(next.place);
    }
  }

  /**
   * A sample has been worked in. The frame that the damage cuts in two may still give one: the hole then lies behind it, so
   * that the longer of the first two steps is the one.
   */
  sample(ms: number): void {
    if (this.#open.length === 0) return;
    this.#open = this.#open.filter((place) => {
      const { fromMs, toMs } = place;
      if (toMs !== null && fromMs !== null && ms - toMs > toMs - fromMs) place.fromMs = toMs;
      if (toMs === null || place.fromMs === toMs) place.toMs = ms;
      return toMs === null && fromMs !== null;
    });
  }

  /** Null: nothing was left out. */
  state(): LeftOutState | null {
    return this.#count === 0 ? null : { count: this.#count, places: this.#places.map((place) => ({ ...place })) };
  }
}

/** `damaged record 1234 left out`: what a person is told. */
export function leftOutLine({ kind, afterNumber, beforeNumber }: Damage): string {
  const what = kind === 'missing' || kind === 'segment' ? 'missing' : 'damaged';
  if (afterNumber === null && beforeNumber === null) return `${what} records left out: none of the log is whole`;
  if (beforeNumber === null) return `${what} records behind record ${afterNumber} left out`;
  const first = (afterNumber ?? 0) + 1;
  const last = beforeNumber - 1;
  if (first > last) return `${what} bytes between records ${afterNumber ?? 0} and ${beforeNumber} left out`;
  return first === last ? `${what} record ${first} left out` : `${what} records ${first} to ${last} left out`;
}
