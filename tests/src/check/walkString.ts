/**
 * A second way to weights, torque and stretch: the string walked from its end to the surface in even steps of 0.1 m, the
 * direction of the hole turned from station to station. Soft string (Johancsik, Friesen & Dawson 1984, from memory) as a
 * differential equation, dT/ds = w cos θ ± μ |T dt/ds + w across|. Metric plans.
 */
import type { LoosePlan } from './checkOf.ts';

type Vector = [number, number, number];
const STEP_M = 0.1;
const YOUNG_KPA = 206.8427e6;
/** 65.5 ppg. */
const STEEL = 7848.63;

const dot = (a: Vector, b: Vector): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const mix = (a: Vector, b: Vector, u: number, v: number): Vector => [
  u * a[0] + v * b[0],
  u * a[1] + v * b[1],
  u * a[2] + v * b[2],
];

function directionAt(plan: LoosePlan, md: number): Vector {
  const stations = plan.survey as { md: number; inclination: number; azimuth: number }[];
  const vectors = stations.map(({ inclination, azimuth }): Vector => {
    const [i, a] = [(inclination * Math.PI) / 180, (azimuth * Math.PI) / 180];
    return [Math.sin(i) * Math.cos(a), Math.sin(i) * Math.sin(a), Math.cos(i)];
  });
  const below = stations.findIndex((station) => station.md > md);
  if (below < 1) return vectors[below === 0 ? 0 : stations.length - 1]!;
  const [from, to] = [vectors[below - 1]!, vectors[below]!];
  const share = (md - stations[below - 1]!.md) / (stations[below]!.md - stations[below - 1]!.md);
  const turn = Math.acos(Math.min(1, dot(from, to)));
  if (turn < 1e-9) return from;
  return mix(from, to, Math.sin((1 - share) * turn) / Math.sin(turn), Math.sin(share * turn) / Math.sin(turn));
}

export function walkString(plan: LoosePlan, endM: number) {
  const innerFrom = endM - plan.string[1].length;
  const buoyed = (9.80665 * (1 - plan.fluid.density / STEEL)) / 1000;
  const sums = { upKn: 0, downKn: 0, rotatingKn: 0, torqueKnm: 0, stretchM: 0, tvdM: 0 };
  const steps = Math.round(endM / STEP_M);
  const step = endM / steps;
  for (let k = steps - 1; k >= 0; k -= 1) {
    const middle = (k + 0.5) * step;
    const part = plan.string[middle > innerFrom ? 1 : 0];
    const { friction } = plan.hole.find((one: LoosePlan) => middle <= one.to);
    const w = part.mass * buoyed;
    const t = directionAt(plan, middle);
    const [above, below] = [directionAt(plan, k * step), directionAt(plan, (k + 1) * step)];
    const bend = mix(below, above, 1 / step, -1 / step);
    const across: Vector = [-w * t[2] * t[0], -w * t[2] * t[1], w * (1 - t[2] * t[2])];
    const wall = (tension: number): number => Math.hypot(...mix(bend, across, tension, 1));
    const along = w * t[2] * step;
    sums.torqueKnm += friction * wall(sums.rotatingKn + along / 2) * step * (part.od / 2000);
    sums.upKn += along + friction * wall(sums.upKn + along / 2) * step;
    sums.downKn += along - friction * wall(sums.downKn + along / 2) * step;
    const areaMm2 = (Math.PI / 4) * (part.od ** 2 - part.id ** 2);
    sums.stretchM += ((sums.rotatingKn + along / 2) * step) / (YOUNG_KPA * areaMm2 * 1e-6);
    sums.rotatingKn += along;
    sums.tvdM += t[2] * step;
  }
  return sums;
}
