/** Volumes and pump output against printed examples, and the hanging of a string. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  annulusCapacityM3PerM,
  annulusVolumeM3,
  duplexLitresPerStroke,
  hangString,
  minutesOf,
  pipeCapacityM3PerM,
  pumpFlowLMin,
  type StringSection,
  steelDisplacementM3PerM,
  stringVolumeM3,
  strokesOf,
  triplexLitresPerStroke,
} from '../../../src/engineering/volumes.ts';
import { fromInside, toInside } from '../../../src/units.ts';

const inch = (value: number) => toInside(value, 'in');
const feet = (value: number) => toInside(value, 'ft');
const bblPerFt = (m3PerM: number) => fromInside(m3PerM, 'bbl') * feet(1);
const bblOfLitres = (litres: number) => fromInside(litres / 1000, 'bbl');
const section = (lengthFt: number, odIn: number, idIn: number): StringSection => ({
  lengthM: feet(lengthFt),
  odMm: inch(odIn),
  idMm: inch(idIn),
  massKgM: 30,
});
const off = (value: number, printed: number) => Math.abs(value / printed - 1);

describe('capacities', () => {
  it.each<[string, number, number, number]>([
    // Public pipe tables and Lapeyrouse, ID²/1029.4 (seen), to the printed digits.
    ['3-1/2 13.30', 2.764, 0.007421, 6],
    ['4 14.00', 3.34, 0.01084, 5],
    ['4-1/2 16.60', 3.826, 0.01422, 5],
    ['5 19.50', 4.276, 0.01776, 5],
    ['6-5/8 25.2', 5.965, 0.0346, 4],
  ])('%s', (_name, id, printed, digits) => {
    expect(bblPerFt(pipeCapacityM3PerM(inch(id)))).toBeCloseTo(printed, digits);
  });

  it('drillingformulas tutorial (seen), by the rounder 1029: 3.826 in, and 6.5 x 3.5 in', () => {
    expect(off(bblPerFt(pipeCapacityM3PerM(inch(3.826))), 0.0142257)).toBeLessThan(5e-4);
    expect(off(bblPerFt(annulusCapacityM3PerM(inch(6.5), inch(3.5))), 0.029154519)).toBeLessThan(5e-4);
  });

  it('Lapeyrouse (seen, by 1029.4, 12e-6 off): 12-1/4 in hole and 12.615 in casing over 8 in and 5 in, 1,231.84 bbl', () => {
    expect(bblPerFt(annulusCapacityM3PerM(inch(12.25), inch(8)))).toBeCloseTo(0.0836, 4);
    expect(bblPerFt(annulusCapacityM3PerM(inch(12.25), inch(5)))).toBeCloseTo(0.12149, 5);
    expect(off(bblPerFt(annulusCapacityM3PerM(inch(12.615), inch(5))), 0.130307)).toBeLessThan(2e-5);
    const hung = hangString([section(9400, 5, 4.276), section(600, 8, 3)], feet(10_000));
    const hole = [
      { fromM: 0, toM: feet(4500), idMm: inch(12.615) },
      { fromM: feet(4500), toM: feet(10_000), idMm: inch(12.25) },
    ];
    const part = (from: number, to: number) => fromInside(annulusVolumeM3(hung, hole, feet(from), feet(to)), 'bbl');
    expect(part(0, 4500)).toBeCloseTo(586.38, 1);
    expect(part(4500, 9400)).toBeCloseTo(595.3, 1);
    expect(part(9400, 10_000)).toBeCloseTo(50.16, 1);
    expect(off(part(0, 10_000), 1231.84)).toBeLessThan(2e-5);
  });

  it('the same string inside (from memory): 9,400 ft of 4.276 in and 600 ft of 3 in, 172.2 bbl', () => {
    const hung = hangString([section(9400, 5, 4.276), section(600, 8, 3)], feet(10_000));
    expect(fromInside(stringVolumeM3(hung, 0, feet(10_000)), 'bbl')).toBeCloseTo(172.2, 1);
  });

  it('a public performance sheet (seen): 23.52 lb/ft of tool-jointed 5 in 19.50 pushes 0.36 gal/ft aside', () => {
    const perM = steelDisplacementM3PerM(23.52 * 1.4881639435695537);
    expect(fromInside(perM * 1000 * feet(1), 'gpm')).toBeCloseTo(0.36, 2);
  });
});

describe('pump output', () => {
  it('triplex 6 x 12 in (Lapeyrouse, seen): 0.104976 and at 97 % 0.101827 bbl a stroke, by a constant 0.06 % high', () => {
    const full = bblOfLitres(triplexLitresPerStroke(inch(6), inch(12)));
    expect(full).toBeCloseTo(0.104914, 6);
    expect(full * (0.000243 / ((3 * Math.PI) / 4 / 9702))).toBeCloseTo(0.104976, 6);
    expect(off(bblOfLitres(triplexLitresPerStroke(inch(6), inch(12), 0.97)), 0.101827)).toBeLessThan(7e-4);
  });

  it('triplex 152.4 x 304.8 mm (seen): 0.016690 and at 97 % 0.016189 m³ a stroke, by 2.3576e-9', () => {
    expect(triplexLitresPerStroke(152.4, 304.8)).toBeCloseTo(16.68, 2);
    expect(off(triplexLitresPerStroke(152.4, 304.8), 16.69)).toBeLessThan(7e-4);
    expect(off(triplexLitresPerStroke(152.4, 304.8, 0.97), 16.189)).toBeLessThan(7e-4);
  });

  it('triplex 7 x 12 in at 95 % (from memory): 0.136 bbl a stroke', () => {
    expect(bblOfLitres(triplexLitresPerStroke(inch(7), inch(12), 0.95))).toBeCloseTo(0.136, 3);
  });

  it('duplex 6 x 12 in, rod 2 in (seen): 0.13219 and at 85 % 0.11236 bbl a stroke, by 0.000162', () => {
    expect(off(bblOfLitres(duplexLitresPerStroke(inch(6), inch(2), inch(12))), 0.13219)).toBeLessThan(7e-4);
    expect(off(bblOfLitres(duplexLitresPerStroke(inch(6), inch(2), inch(12), 0.85)), 0.11236)).toBeLessThan(7e-4);
  });

  it('300 bbl at 0.117 bbl a stroke and 40 strokes a minute (seen): 2,564.1 strokes, 64.1 min', () => {
    const litres = toInside(0.117, 'bbl') * 1000;
    expect(strokesOf(toInside(300, 'bbl'), litres)).toBeCloseTo(2564.1, 1);
    expect(minutesOf(toInside(300, 'bbl'), pumpFlowLMin(litres, 40))).toBeCloseTo(64.1, 1);
  });

  it('Lapeyrouse (from memory): 172.2 and 1,231.84 bbl at 0.136 bbl a stroke, 1,266 and 9,058 strokes', () => {
    const litres = toInside(0.136, 'bbl') * 1000;
    expect(Math.round(strokesOf(toInside(172.2, 'bbl'), litres))).toBe(1266);
    expect(Math.round(strokesOf(toInside(1231.84, 'bbl'), litres))).toBe(9058);
  });
});

const pipes = fc.array(
  fc.record({
    lengthM: fc.double({ min: 1, max: 1500, noNaN: true }),
    odMm: fc.double({ min: 80, max: 150, noNaN: true }),
    idMm: fc.double({ min: 40, max: 79, noNaN: true }),
    massKgM: fc.double({ min: 20, max: 90, noNaN: true }),
  }),
  { minLength: 1, maxLength: 6 },
);
const depth = fc.double({ min: 1, max: 6000, noNaN: true });

describe('a hung string', () => {
  it('reaches from the surface to its end without a hole or an overlap, whatever was tallied', () => {
    fc.assert(
      fc.property(pipes, depth, (sections, end) => {
        const hung = hangString(sections, end);
        expect(hung[0]!.fromM).toBe(0);
        expect(hung.at(-1)!.toM).toBe(end);
        for (let i = 1; i < hung.length; i += 1) expect(hung[i]!.fromM).toBe(hung[i - 1]!.toM);
        expect(hung.map((one) => one.section)).toEqual(sections.slice(sections.length - hung.length));
      }),
    );
  });

  it('draws the topmost section out, or cuts at the surface (worked by hand)', () => {
    const sections = [section(100, 5, 4), section(50, 4, 3)];
    const spans = (end: number) => hangString(sections, feet(end)).map((one) => fromInside(one.toM - one.fromM, 'ft'));
    expect(spans(150).map(Math.round)).toEqual([100, 50]);
    expect(spans(400).map(Math.round)).toEqual([350, 50]);
    expect(spans(120).map(Math.round)).toEqual([70, 50]);
    expect(spans(30).map(Math.round)).toEqual([30]);
  });

  it('holds in two parts what it holds in one, inside and outside', () => {
    const hole = [
      { fromM: 0, toM: 1700, idMm: 220 },
      { fromM: 1700, toM: 9000, idMm: 200 },
    ];
    fc.assert(
      fc.property(pipes, depth, depth, (sections, end, at) => {
        const hung = hangString(sections, end);
        const parts = (volume: (from: number, to: number) => number) => volume(0, at) + volume(at, 9000);
        const inside = (from: number, to: number) => stringVolumeM3(hung, from, to);
        const outside = (from: number, to: number) => annulusVolumeM3(hung, hole, from, to);
        expect(parts(inside)).toBeCloseTo(inside(0, end), 8);
        expect(parts(outside)).toBeCloseTo(outside(0, end), 8);
      }),
    );
  });
});
