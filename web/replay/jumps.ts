/** Instants that one may jump to: where an event began, a joint was first worked on, a phase was entered. */

import { PHASES } from '../../src/phases.ts';
import type { Overview } from '../../src/replay/overview.ts';
import type { Jump } from './replayState.ts';

/** In order of time, each once. */
export function jumpPoints(of: Overview, jump: Jump): number[] {
  const instants =
    jump === 'event'
      ? of.events.map(({ fromMs }) => fromMs)
      : jump === 'phase'
        ? of.phases.map(({ fromMs }) => fromMs)
        : firstWork(of);
  return [...new Set(instants)].sort((a, b) => a - b);
}

/** Where the work on each joint began. */
function firstWork({ phases }: Overview): number[] {
  const begun = new Set<string>();
  return phases.flatMap(({ phase, joint, fromMs }) => {
    if (joint === null || begun.has(joint) || PHASES[phase].family !== 'expanding') return [];
    begun.add(joint);
    return [fromMs];
  });
}

/** The nearest one on the way, from `ms`; null where there is none. */
export function nextJump(points: readonly number[], ms: number, way: 1 | -1): number | null {
  if (way === 1) return points.find((at) => at > ms) ?? null;
  let before: number | null = null;
  for (const at of points) if (at < ms) before = at;
  return before;
}
