/** The path of the hole: minimum curvature against arcs whose coordinates are known in closed form. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SURVEY_LIMITS, type SurveyStation, surveyProblems, wellPath } from '../../../src/engineering/survey.ts';
import { toInside } from '../../../src/units.ts';

const station = (md: number, inclination: number, azimuth: number): SurveyStation => ({ md, inclination, azimuth });
const rad = (degrees: number) => (degrees * Math.PI) / 180;

/** Stations whose steps are real: apart, and never turning right round. */
const surveys = fc
  .array(
    fc.record({
      step: fc.double({ min: 1, max: 200, noNaN: true }),
      inclination: fc.double({ min: 0, max: 110, noNaN: true }),
      azimuth: fc.double({ min: 0, max: 359.9, noNaN: true }),
    }),
    { minLength: 1, maxLength: 25 },
  )
  .map((list) => {
    let md = 0;
    return list.map(({ step, inclination, azimuth }) => {
      md += step;
      return station(md, inclination, azimuth);
    });
  })
  .filter((list) => surveyProblems(list).length === 0);

describe('a path by minimum curvature (Sawaryn & Thorogood, SPE 84246, from memory)', () => {
  it('is vertical without a survey', () => {
    const path = wellPath([]);
    expect(path.at(2530)).toEqual({ inclination: 0, azimuth: 0, tvd: 2530, north: 0, east: 0 });
    expect(path.dogleg(0, 2530)).toBe(0);
  });

  it('builds along a circle: own, closed form R·sin θ and R·(1 − cos θ)', () => {
    const radius = toInside(1432.394488, 'ft');
    const path = wellPath([station(0, 0, 40), station(radius * rad(60), 60, 40)]);
    for (const inclination of [0, 0.001, 1, 17, 45, 60]) {
      const point = path.at(radius * rad(inclination));
      expect(point.inclination).toBeCloseTo(inclination, 9);
      expect(point.tvd).toBeCloseTo(radius * Math.sin(rad(inclination)), 9);
      expect(point.north).toBeCloseTo(radius * (1 - Math.cos(rad(inclination))) * Math.cos(rad(40)), 9);
      expect(point.east).toBeCloseTo(radius * (1 - Math.cos(rad(inclination))) * Math.sin(rad(40)), 9);
      if (inclination > 0) expect(point.azimuth).toBeCloseTo(40, 6);
    }
    // 4° per 100 ft, the same radius told the other way.
    expect(path.curvature(100) * toInside(100, 'ft')).toBeCloseTo(4, 7);
  });

  it('turns in the horizontal plane along a circle: own, closed form', () => {
    const path = wellPath([station(0, 90, 0), station(500, 90, 90)]);
    const radius = 500 / rad(90);
    const point = path.at(250);
    expect(point.inclination).toBeCloseTo(90, 9);
    expect(point.azimuth).toBeCloseTo(45, 9);
    expect(point.tvd).toBeCloseTo(0, 9);
    expect(point.north).toBeCloseTo(radius * Math.sin(rad(45)), 9);
    expect(point.east).toBeCloseTo(radius * (1 - Math.cos(rad(45))), 9);
  });

  it('gives between two stations what the ratio-factor formula gives (from memory, written out with angles)', () => {
    const [i1, a1, i2, a2, length] = [rad(25), rad(300), rad(38), rad(340), 120];
    const path = wellPath([station(0, 25, 300), station(length, 38, 340)]);
    const cosine = Math.cos(i2 - i1) - Math.sin(i1) * Math.sin(i2) * (1 - Math.cos(a2 - a1));
    const turn = Math.acos(cosine);
    const factor = (2 / turn) * Math.tan(turn / 2);
    const point = path.at(length);
    expect(path.dogleg(0, length)).toBeCloseTo((turn * 180) / Math.PI, 9);
    expect(point.tvd).toBeCloseTo((length / 2) * (Math.cos(i1) + Math.cos(i2)) * factor, 9);
    expect(point.north).toBeCloseTo(
      (length / 2) * (Math.sin(i1) * Math.cos(a1) + Math.sin(i2) * Math.cos(a2)) * factor,
      9,
    );
    expect(point.east).toBeCloseTo(
      (length / 2) * (Math.sin(i1) * Math.sin(a1) + Math.sin(i2) * Math.sin(a2)) * factor,
      9,
    );
  });

  it('goes straight on below the last station, and starts vertical where the survey starts below the surface', () => {
    const path = wellPath([station(1000, 0, 0), station(1300, 30, 140)]);
    const [end, beyond] = [path.at(1300), path.at(1500)];
    expect(path.at(500)).toMatchObject({ inclination: 0, tvd: 500 });
    expect(beyond.inclination).toBeCloseTo(30, 9);
    expect(beyond.azimuth).toBeCloseTo(140, 9);
    expect(beyond.tvd - end.tvd).toBeCloseTo(200 * Math.cos(rad(30)), 9);
    expect(path.curvature(1400)).toBe(0);
  });

  it('passes its stations in their directions', () => {
    fc.assert(
      fc.property(surveys, (list) => {
        const path = wellPath(list);
        for (const { md, inclination, azimuth } of list) {
          expect(path.at(md).inclination).toBeCloseTo(inclination, 6);
          const across = Math.sin(rad(inclination));
          expect(across * Math.cos(rad(path.at(md).azimuth - azimuth))).toBeCloseTo(across, 6);
        }
      }),
    );
  });

  it('is straight where the turn is too small for a quotient', () => {
    const path = wellPath([station(1, 8.405544125114008e-211, 0)]);
    const { inclination, tvd, north, east } = path.at(1.6838812507408455e-112);
    expect([inclination, tvd, north, east].map((value) => Math.abs(value) < 1e-100)).toEqual([true, true, true, true]);
    expect(tvd).toBe(1.6838812507408455e-112);
  });

  it('is as long as it is measured: chords never longer than the hole, and nearly it over short pieces', () => {
    fc.assert(
      fc.property(surveys, fc.double({ min: 0, max: 1, noNaN: true }), (list, share) => {
        const path = wellPath(list);
        const md = share * list.at(-1)!.md;
        const [a, b] = [path.at(md), path.at(md + 0.01)];
        const chord = Math.hypot(b.north - a.north, b.east - a.east, b.tvd - a.tvd);
        expect(chord).toBeLessThan(0.01 + 1e-8);
        expect(chord).toBeGreaterThan(0.00998);
      }),
    );
  });

  it('measures a dogleg alike from both ends, and never more than the turns along the way', () => {
    fc.assert(
      fc.property(surveys, (list) => {
        const path = wellPath(list);
        const mds = [0, ...list.map(({ md }) => md)];
        const last = mds.at(-1)!;
        expect(path.dogleg(0, last)).toBeCloseTo(path.dogleg(last, 0), 9);
        let turns = 0;
        for (let i = 1; i < mds.length; i += 1) turns += path.dogleg(mds[i - 1]!, mds[i]!);
        expect(path.dogleg(0, last)).toBeLessThan(turns + 1e-6);
      }),
    );
  });

  it('does not change when a station is put on it', () => {
    fc.assert(
      fc.property(surveys, fc.double({ min: 0.01, max: 0.99, noNaN: true }), (list, share) => {
        const path = wellPath(list);
        const md = share * list.at(-1)!.md;
        const { inclination, azimuth } = path.at(md);
        const denser = [...list.filter((one) => Math.abs(one.md - md) > 1e-3), station(md, inclination, azimuth)];
        const again = wellPath(denser.sort((a, b) => a.md - b.md));
        const last = list.at(-1)!.md;
        expect(again.at(last).tvd).toBeCloseTo(path.at(last).tvd, 2);
        expect(again.at(last).north).toBeCloseTo(path.at(last).north, 2);
      }),
    );
  });
});

describe('what is wrong with a survey', () => {
  it.each<[string, SurveyStation[], string, RegExp]>([
    [
      'depths out of order',
      [station(0, 0, 0), station(90, 1, 0), station(60, 2, 0)],
      'survey[2].md',
      /found 60 below 90/,
    ],
    ['a depth twice', [station(0, 0, 0), station(0, 1, 0)], 'survey[1].md', /found 0 below 0/],
    ['a depth above surface', [station(-5, 0, 0)], 'survey[0].md', /expected 0 or more/],
    ['no number', [station(Number.NaN, 0, 0)], 'survey[0].md', /found NaN/],
    ['an inclination past upwards', [station(10, 181, 0)], 'survey[0].inclination', /0 to 180/],
    ['an azimuth of more than a turn', [station(10, 5, 400)], 'survey[0].azimuth', /-360 to 360/],
    ['a hole that turns right round', [station(0, 90, 0), station(30, 90, 180)], 'survey[1].inclination', /opposite/],
    ['straight up from the vertical', [station(30, 180, 0)], 'survey[0].inclination', /opposite/],
  ])('says where: %s', (_what, list, path, text) => {
    const problems = surveyProblems(list);
    expect(problems.map((problem) => problem.path)).toEqual([path]);
    expect(problems[0]!.text).toMatch(text);
    expect(() => wellPath(list)).toThrow(/survey without problems/);
  });

  it('refuses more stations and more turns than its limits', () => {
    const many = Array.from({ length: SURVEY_LIMITS.stations + 1 }, (_, i) => station(i, 0, 0));
    expect(surveyProblems(many)).toEqual([{ path: 'survey', text: 'found 3001 stations, expected at most 3000' }]);
    expect(surveyProblems(many.slice(1))).toEqual([]);
    const corkscrew = Array.from({ length: 41 }, (_, i) => station(10 * i, 90, (i * 100) % 360));
    expect(surveyProblems(corkscrew)[0]!.text).toMatch(/found 4000 degrees of turns/);
  });
});
