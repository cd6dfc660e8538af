/**
 * Sets of half-open intervals [from, to) on depth, exact: no grid, no tolerance. A set is a flat sorted array
 * [from0, to0, from1, to1, …] whose intervals neither overlap nor touch, so that equal sets are equal arrays.
 */
export type IntervalSet = number[];

/** Index of the first bound in `set` that is ≥ x. Even: x lies before an interval or at its start; odd: inside or at an end. */
function lowerBound(set: readonly number[], x: number): number {
  let low = 0;
  let high = set.length;
  while (low < high) {
    const mid = (low + high) >>> 1;
    if (set[mid]! < x) low = mid + 1;
    else high = mid;
  }
  return low;
}

/** Index of the first bound in `set` that is > x. */
function upperBound(set: readonly number[], x: number): number {
  let low = 0;
  let high = set.length;
  while (low < high) {
    const mid = (low + high) >>> 1;
    if (set[mid]! <= x) low = mid + 1;
    else high = mid;
  }
  return low;
}

/** Adds [from, to) in place; touching intervals become one. Nothing happens where to ≤ from. */
export function addInterval(set: IntervalSet, from: number, to: number): void {
  if (!(to > from)) return;
  const n = set.length;
  // A sweep grows the last interval nearly always.
  if (n > 0 && from >= set[n - 2]! && from <= set[n - 1]!) {
    if (to > set[n - 1]!) set[n - 1] = to;
    return;
  }
  if (n === 0 || from > set[n - 1]!) {
    set.push(from, to);
    return;
  }
  const first = lowerBound(set, from);
  const last = upperBound(set, to);
  const inserted: number[] = [];
  if (first % 2 === 0) inserted.push(from);
  if (last % 2 === 0) inserted.push(to);
  set.splice(first, last - first, ...inserted);
}

/** Takes [from, to) out in place. */
export function removeInterval(set: IntervalSet, from: number, to: number): void {
  if (!(to > from) || set.length === 0) return;
  const first = lowerBound(set, from);
  const last = upperBound(set, to);
  const inserted: number[] = [];
  if (first % 2 === 1) inserted.push(from);
  if (last % 2 === 1) inserted.push(to);
  if (first === last && inserted.length === 0) return;
  set.splice(first, last - first, ...inserted);
}

/** Whether x lies in the set; an interval holds its start and not its end. */
export function contains(set: readonly number[], x: number): boolean {
  return upperBound(set, x) % 2 === 1;
}

/** Whether all of [from, to) lies in the set. */
export function covers(set: readonly number[], from: number, to: number): boolean {
  const next = upperBound(set, from);
  return next % 2 === 1 && set[next]! >= to;
}

/** Length of the set. */
export function measure(set: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < set.length; i += 2) sum += set[i + 1]! - set[i]!;
  return sum;
}

/** The first point ≥ x that is in [from, to) and not in the set; NaN when there is none. */
export function firstOutside(set: readonly number[], x: number, from: number, to: number): number {
  let at = Math.max(x, from);
  const next = upperBound(set, at);
  if (next % 2 === 1) at = set[next]!;
  return at < to ? at : Number.NaN;
}

export function union(a: readonly number[], b: readonly number[]): IntervalSet {
  const out = a.slice();
  for (let i = 0; i < b.length; i += 2) addInterval(out, b[i]!, b[i + 1]!);
  return out;
}

export function subtract(a: readonly number[], b: readonly number[]): IntervalSet {
  const out = a.slice();
  for (let i = 0; i < b.length; i += 2) removeInterval(out, b[i]!, b[i + 1]!);
  return out;
}

/** What of [from, to) is not in the set. */
export function complement(set: readonly number[], from: number, to: number): IntervalSet {
  return to > from ? subtract([from, to], set) : [];
}

export function clip(set: readonly number[], from: number, to: number): IntervalSet {
  const out: IntervalSet = [];
  for (let i = 0; i < set.length; i += 2) addInterval(out, Math.max(set[i]!, from), Math.min(set[i + 1]!, to));
  return out;
}

/** The longest interval of the set, 0 for the empty set. */
export function longest(set: readonly number[]): number {
  let most = 0;
  for (let i = 0; i < set.length; i += 2) most = Math.max(most, set[i + 1]! - set[i]!);
  return most;
}

export function toSpans(set: readonly number[]): [number, number][] {
  const out: [number, number][] = [];
  for (let i = 0; i < set.length; i += 2) out.push([set[i]!, set[i + 1]!]);
  return out;
}
