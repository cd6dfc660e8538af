/**
 * The path of the hole from a directional survey, by the minimum-curvature method: between two stations the hole is an
 * arc of a circle that touches the direction of both. Formulas: Sawaryn & Thorogood, "A Compendium of Directional
 * Calculations Based on the Minimum Curvature Method", SPE 84246 (from memory). Depths in m, angles in degrees.
 *
 * North, east and down are right-handed; a direction is a unit vector that points down the hole. Directions, not pairs of
 * angles, are interpolated: where the hole is vertical an azimuth means nothing, and a direction still does.
 */
import { invariant } from '../fault.ts';
import type { PlanProblem } from '../plan/job.ts';

export interface SurveyStation {
  /** Measured depth. Any unit of length for `surveyProblems`, m for `wellPath`. */
  readonly md: number;
  /** From the vertical, 0 to 180 degrees. */
  readonly inclination: number;
  /** Clockwise from north, degrees, any turn. */
  readonly azimuth: number;
}

export interface PathPoint {
  /** Degrees from the vertical. */
  readonly inclination: number;
  /** Degrees clockwise from north, in [0, 360); 0 where the hole is vertical. */
  readonly azimuth: number;
  /** True vertical depth, m. */
  readonly tvd: number;
  readonly north: number;
  readonly east: number;
}

/** Numbers of one point that `fill` writes: direction (north, east, down), then position (north, east, tvd). */
export const PATH_FIELDS = 6;

export interface WellPath {
  /** Measured depths at which the curvature may change, ascending, the first one 0. */
  readonly stationMd: Float64Array;
  at(md: number): PathPoint;
  /** As `at`, for inner loops: writes PATH_FIELDS numbers into `out` from index `offset` on. */
  fill(md: number, out: Float64Array, offset: number): void;
  /** Curvature at a measured depth, degrees a metre; at a station that of the arc below it. */
  curvature(md: number): number;
  /** Angle between the directions at two measured depths, degrees, 0 to 180. */
  dogleg(md1: number, md2: number): number;
}

const DEGREE = Math.PI / 180;
/** What a survey may hold: stations, and the sum of their turns, degrees (a corkscrew of ten rounds). */
export const SURVEY_LIMITS = { stations: 3000, turnDeg: 3600 } as const;

/** Two stations this near to opposite have no arc of their own: there are as many as one likes. */
const OPPOSITE = 179.9 * DEGREE;

const within = (value: number, least: number, most: number): boolean => value >= least && value <= most;

/** What is wrong with a survey, each with its place; empty when a path can be made of it. */
export function surveyProblems(stations: readonly SurveyStation[]): PlanProblem[] {
  const { stations: most, turnDeg } = SURVEY_LIMITS;
  if (stations.length > most) {
    return [{ path: 'survey', text: `found ${stations.length} stations, expected at most ${most}` }];
  }
  const problems = stations.flatMap((station, i) => stationProblems(station, stations[i - 1], `survey[${i}]`));
  if (problems.length > 0) return problems;
  const all = withSurface(stations).map(directionOf);
  let total = 0;
  for (let i = 1; i < all.length; i += 1) {
    const turn = angleBetween(all[i - 1]!, all[i]!);
    if (turn > OPPOSITE) {
      const path = `survey[${i - (all.length - stations.length)}].inclination`;
      problems.push({ path, text: 'found the opposite of the direction above, expected a turn under 180 degrees' });
    }
    total += turn / DEGREE;
  }
  if (total > turnDeg) {
    problems.push({ path: 'survey', text: `found ${total.toFixed(0)} degrees of turns, expected at most ${turnDeg}` });
  }
  return problems;
}

function stationProblems(station: SurveyStation, above: SurveyStation | undefined, path: string): PlanProblem[] {
  const { md, inclination, azimuth } = station;
  const problems: PlanProblem[] = [];
  if (!(md >= 0 && Number.isFinite(md))) {
    problems.push({ path: `${path}.md`, text: `found ${md}, expected 0 or more` });
  } else if (above && !(md > above.md)) {
    const text = `found ${md} below ${above.md}, expected a greater depth than the station above`;
    problems.push({ path: `${path}.md`, text });
  }
  if (!within(inclination, 0, 180)) {
    problems.push({ path: `${path}.inclination`, text: `found ${inclination}, expected 0 to 180 degrees` });
  }
  if (!within(azimuth, -360, 360)) {
    problems.push({ path: `${path}.azimuth`, text: `found ${azimuth}, expected -360 to 360 degrees` });
  }
  return problems;
}

type Vector = readonly [number, number, number];

function directionOf({ inclination, azimuth }: SurveyStation): Vector {
  const across = Math.sin(inclination * DEGREE);
  return [across * Math.cos(azimuth * DEGREE), across * Math.sin(azimuth * DEGREE), Math.cos(inclination * DEGREE)];
}

/** By arctangent of the cross and dot products: exact for small turns, where the arccosine loses half of its digits. */
function angleBetween(a: Vector, b: Vector): number {
  const x = a[1] * b[2] - a[2] * b[1];
  const y = a[2] * b[0] - a[0] * b[2];
  const z = a[0] * b[1] - a[1] * b[0];
  return Math.atan2(Math.hypot(x, y, z), a[0] * b[0] + a[1] * b[1] + a[2] * b[2]);
}

/** A turn this small, radians, is straight to every digit that a number holds; smaller ones have no quotient any more. */
const STRAIGHT = 1e-9;

/** Chord of an arc of the given turn (radians) over its length, on the mean of its end directions: tan(x/2)/(x/2). */
const ratioFactor = (turn: number): number => (turn < STRAIGHT ? 1 : Math.tan(turn / 2) / (turn / 2));

/** Stations with a vertical one at surface when the survey does not begin there. */
function withSurface(stations: readonly SurveyStation[]): readonly SurveyStation[] {
  return stations[0]?.md === 0 ? stations : [{ md: 0, inclination: 0, azimuth: 0 }, ...stations];
}

/**
 * The path through the stations. No station: a vertical hole. A survey that begins below the surface is led there from the
 * vertical at depth 0; below the last station the hole goes straight on, as it does upwards from depth 0.
 * `stations` must have no `surveyProblems`.
 */
export function wellPath(stations: readonly SurveyStation[]): WellPath {
  invariant(surveyProblems(stations).length === 0, 'a path is made of a survey without problems');
  const all = withSurface(stations);
  const n = all.length;
  const stationMd = Float64Array.from(all, (station) => station.md);
  const directions = all.map(directionOf);
  /** Turn between a station and the next, radians; 0 below the last. */
  const turn = new Float64Array(n);
  const place = new Float64Array(3 * n);

  const indexAt = (md: number): number => {
    let low = 0;
    let high = n;
    while (high - low > 1) {
      const mid = (low + high) >>> 1;
      if (stationMd[mid]! <= md) low = mid;
      else high = mid;
    }
    return low;
  };

  const fillFrom = (i: number, md: number, out: Float64Array, offset: number): void => {
    const a = directions[i]!;
    const b = directions[i + 1] ?? a;
    const run = md - stationMd[i]!;
    const x = i + 1 < n ? Math.max(0, run / (stationMd[i + 1]! - stationMd[i]!)) : 0;
    const phi = turn[i]!;
    const u = phi < STRAIGHT ? 1 - x : Math.sin((1 - x) * phi) / Math.sin(phi);
    const v = phi < STRAIGHT ? x : Math.sin(x * phi) / Math.sin(phi);
    const half = (run / 2) * ratioFactor(x * phi);
    for (let k = 0; k < 3; k += 1) {
      const t = u * a[k]! + v * b[k]!;
      out[offset + k] = t;
      out[offset + 3 + k] = place[3 * i + k]! + half * (a[k]! + t);
    }
  };

  const point = new Float64Array(PATH_FIELDS);
  for (let i = 0; i + 1 < n; i += 1) {
    turn[i] = angleBetween(directions[i]!, directions[i + 1]!);
    fillFrom(i, stationMd[i + 1]!, point, 0);
    place.set(point.subarray(3), 3 * (i + 1));
  }

  const fill = (md: number, out: Float64Array, offset: number) => fillFrom(indexAt(md), md, out, offset);
  const direction = (md: number): Vector => {
    fill(md, point, 0);
    return [point[0]!, point[1]!, point[2]!];
  };
  return {
    stationMd,
    fill,
    at: (md) => {
      fill(md, point, 0);
      const [tn, te, td, north, east, tvd] = point as unknown as [number, number, number, number, number, number];
      const azimuth = tn === 0 && te === 0 ? 0 : Math.atan2(te, tn) / DEGREE;
      return {
        inclination: Math.atan2(Math.hypot(tn, te), td) / DEGREE,
        azimuth: azimuth < 0 ? azimuth + 360 : azimuth,
        tvd,
        north,
        east,
      };
    },
    curvature: (md) => {
      const i = indexAt(md);
      return i + 1 < n ? turn[i]! / DEGREE / (stationMd[i + 1]! - stationMd[i]!) : 0;
    },
    dogleg: (md1, md2) => angleBetween(direction(md1), direction(md2)) / DEGREE,
  };
}
