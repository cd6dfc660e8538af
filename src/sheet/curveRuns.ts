/**
 * A curve as lines of few points: of all readings in one pixel along the axis the first, the least, the greatest and the last
 * are kept, in their order, so that no peak is lost and a run of days stays small. Where a reading is missing the line ends.
 */

/** What cannot be told apart on paper, points. */
export const PIXEL = 0.6;

/**
 * @param count points @param along place of a point on the main axis, points; @param across on the other
 * @param turned the main axis runs down the paper
 */
export function curveRuns(
  count: number,
  along: (i: number) => number,
  across: (i: number) => number,
  turned: boolean,
): number[][] {
  const runs: number[][] = [];
  let run: number[] = [];
  let pixel = Number.NaN;
  let held: number[] = [];
  const put = (i: number): void => {
    if (turned) run.push(across(i), along(i));
    else run.push(along(i), across(i));
  };
  const flush = (): void => {
    for (const i of pixelPoints(held, across)) put(i);
    held = [];
  };
  const lift = (): void => {
    flush();
    // A reading between two holes is a dot: drawn as a line of a pixel's length.
    if (run.length === 2) run.push(run[0]! + (turned ? 0 : PIXEL), run[1]! + (turned ? PIXEL : 0));
    if (run.length > 0) runs.push(run);
    run = [];
  };
  for (let i = 0; i < count; i += 1) {
    const main = along(i);
    if (!Number.isFinite(main) || !Number.isFinite(across(i))) {
      lift();
      pixel = Number.NaN;
      continue;
    }
    const at = Math.floor(main / PIXEL);
    if (at !== pixel) flush();
    pixel = at;
    held.push(i);
  }
  lift();
  return runs;
}

function pixelPoints(held: readonly number[], across: (i: number) => number): number[] {
  if (held.length <= 2) return [...held];
  let least = held[0]!;
  let greatest = held[0]!;
  for (const i of held) {
    if (across(i) < across(least)) least = i;
    if (across(i) > across(greatest)) greatest = i;
  }
  return [...new Set([held[0]!, least, greatest, held[held.length - 1]!])].sort((a, b) => a - b);
}
