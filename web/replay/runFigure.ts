/** The whole run as shapes on a strip: from times and depths to paths. */

import { PHASES, type PhaseFamily } from '../../src/phases.ts';
import type { Overview } from '../../src/replay/overview.ts';

export interface Strip {
  readonly width: number;
  readonly fromMs: number;
  readonly toMs: number;
}

export const xOf = ({ width, fromMs, toMs }: Strip, ms: number): number =>
  toMs > fromMs ? ((ms - fromMs) / (toMs - fromMs)) * width : 0;

export const msOf = ({ width, fromMs, toMs }: Strip, x: number): number =>
  fromMs + (Math.min(width, Math.max(0, x)) / Math.max(1, width)) * (toMs - fromMs);

const px = (value: number): string => value.toFixed(1);

/** Least and greatest depth of each stretch as one closed shape; deeper is lower. Broken where there is a hole. */
export function depthPath(of: Overview, strip: Strip, top: number, bottom: number): string {
  const { slotMs, least, greatest, holes } = of;
  const [shallow, deep] = depthExtent(of);
  const y = (depth: number): number =>
    deep > shallow ? top + ((depth - shallow) / (deep - shallow)) * (bottom - top) : (top + bottom) / 2;
  let path = '';
  let hole = 0;
  for (let i = 0; i < slotMs.length; ) {
    let end = i + 1;
    while (hole < holes.length && holes[hole]![1] <= slotMs[i]!) hole++;
    const until = holes[hole]?.[1] ?? Infinity;
    while (end < slotMs.length && slotMs[end]! < until) end++;
    path += piece(i, end);
    i = end;
  }
  return path;

  function piece(from: number, to: number): string {
    let there = '';
    let back = '';
    for (let i = from; i < to; i++) {
      const x = px(xOf(strip, slotMs[i]!));
      there += `${i === from ? 'M' : 'L'}${x} ${px(y(least[i]!) - 0.6)}`;
      back = `L${x} ${px(y(greatest[i]!) + 0.6)}${back}`;
    }
    return `${there}${back}Z`;
  }
}

/** One path for all stretches of a family of phases: a long run has thousands. */
export function phasePaths(of: Overview, strip: Strip, top: number, height: number): Map<PhaseFamily, string> {
  const paths = new Map<PhaseFamily, string>();
  for (const { phase, fromMs, toMs } of of.phases) {
    const { family } = PHASES[phase];
    const x = xOf(strip, fromMs);
    const width = Math.max(0.3, xOf(strip, toMs) - x);
    paths.set(family, `${paths.get(family) ?? ''}M${px(x)} ${top}h${width.toFixed(2)}v${height}h-${width.toFixed(2)}z`);
  }
  return paths;
}

/** A joint that was worked on, from its first to its last phase in a row; what belongs to none, such as a connection, lies within. */
export interface JointStretch {
  readonly joint: string;
  readonly fromMs: number;
  readonly toMs: number;
}

export function jointStretches({ phases }: Pick<Overview, 'phases'>): JointStretch[] {
  const stretches: JointStretch[] = [];
  for (const { phase, joint, fromMs, toMs } of phases) {
    if (joint === null || !WORK_FAMILIES.includes(PHASES[phase].family)) continue;
    const last = stretches[stretches.length - 1];
    if (last?.joint === joint) stretches[stretches.length - 1] = { ...last, toMs };
    else stretches.push({ joint, fromMs, toMs });
  }
  return stretches;
}

/** Of phases in which a joint is rolled, or should be. */
const WORK_FAMILIES: readonly PhaseFamily[] = ['expanding', 'trouble'];

/** Least and greatest depth of the run, m; NaN where none is known. */
export function depthExtent({ least, greatest }: Pick<Overview, 'least' | 'greatest'>): readonly [number, number] {
  let shallow = Number.NaN;
  let deep = Number.NaN;
  for (let i = 0; i < least.length; i++) {
    if (!(shallow <= least[i]!)) shallow = least[i]!;
    if (!(deep >= greatest[i]!)) deep = greatest[i]!;
  }
  return [shallow, deep];
}

export function holePath({ holes }: Overview, strip: Strip, height: number): string {
  return holes
    .map(([fromMs, toMs]) => {
      const x = xOf(strip, fromMs);
      const width = Math.max(1.5, xOf(strip, toMs) - x).toFixed(1);
      return `M${px(x)} 0h${width}v${height}h-${width}z`;
    })
    .join('');
}

const STEPS_MIN = [1, 2, 5, 10, 15, 30, 60, 120, 180, 360, 720, 1440] as const;
const TICK_PX = 90;

/** Full minutes or hours by the rig's clock, far enough apart to be read. */
export function ticksOf(strip: Strip, offsetMs: number): number[] {
  const most = Math.max(1, strip.width / TICK_PX);
  const spanMin = (strip.toMs - strip.fromMs) / 60_000;
  const stepMs = (STEPS_MIN.find((step) => spanMin / step <= most) ?? 1440) * 60_000;
  const ticks: number[] = [];
  const first = Math.ceil((strip.fromMs + offsetMs) / stepMs) * stepMs - offsetMs;
  for (let ms = first; ms <= strip.toMs && ticks.length < 2 * most + 2; ms += stepMs) ticks.push(ms);
  return ticks;
}
