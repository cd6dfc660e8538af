/** Depth to screen: the whole liner on one scale, and the stretch around the tool on a larger one. True to depth both. */

export interface DepthWindow {
  /** Measured depths, m. */
  readonly from: number;
  readonly to: number;
}

/** Metres that the enlarged stretch shows: three joints of usual length. */
export const CLOSE_UP_M = 32;

/** The tool is let wander between these shares of the stretch before the stretch moves, and is then set back to `anchor`. */
const WANDER = { from: 0.15, to: 0.72, anchor: 0.34 } as const;

/** The stretch laid so that `depth` stands at `share` of it, within `whole` where that is longer. */
function laid(depth: number, share: number, lengthM: number, whole: DepthWindow): DepthWindow {
  const length = Math.min(lengthM, whole.to - whole.from);
  const from = Math.min(Math.max(depth - share * length, whole.from), whole.to - length);
  return { from, to: from + length };
}

/** The next stretch to show. It stands still while the tool is well inside it, so that the picture does not creep. */
export function followWindow(
  shown: DepthWindow | null,
  depth: number | null,
  whole: DepthWindow,
  lengthM = CLOSE_UP_M,
): DepthWindow {
  if (depth === null) return shown ?? laid(whole.from, 0, lengthM, whole);
  const next = laid(depth, WANDER.anchor, lengthM, whole);
  if (!shown) return next;
  const share = (depth - shown.from) / (shown.to - shown.from);
  const held = share >= WANDER.from && share <= WANDER.to;
  const fits = Math.abs(shown.to - shown.from - (next.to - next.from)) < 1e-9;
  return held && fits && shown.from >= whole.from && shown.to <= whole.to ? shown : next;
}

/** The stretch with a joint in its middle. */
export function windowAround(top: number, bottom: number, whole: DepthWindow, lengthM = CLOSE_UP_M): DepthWindow {
  return laid((top + bottom) / 2, 0.5, lengthM, whole);
}

const STEPS_M = [0.5, 1, 2, 5, 10, 20, 50, 100, 200] as const;
const FOOT_M = 0.3048;

/** Depths to mark, in whole steps of the viewer's unit, at least `spacePx` apart; as measured depths in metres. */
export function depthMarks(window: DepthWindow, heightPx: number, unitM: number, spacePx = 44): number[] {
  const least = ((window.to - window.from) * spacePx) / Math.max(1, heightPx) / unitM;
  const step = STEPS_M.find((candidate) => candidate >= least) ?? STEPS_M[STEPS_M.length - 1]!;
  const marks: number[] = [];
  for (let n = Math.ceil(window.from / unitM / step); n * step * unitM <= window.to; n++) marks.push(n * step * unitM);
  return marks;
}

export const lengthUnitM = (system: 'metric' | 'field'): number => (system === 'metric' ? 1 : FOOT_M);

/** Labels moved apart so that none covers another, in the order given (top down), each as near to its place as it can. */
export function spreadLabels(wanted: readonly number[], apart: number): number[] {
  const placed: number[] = [];
  for (const [i, y] of wanted.entries()) placed.push(i === 0 ? y : Math.max(y, placed[i - 1]! + apart));
  return placed;
}
