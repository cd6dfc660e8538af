/** What is written and imported again is equal, whatever the readings and the units. */
import fc from 'fast-check';
import { beforeAll, describe, expect, test } from 'vitest';
import { CHANNEL_IDS, CHANNELS, emptySample, type Sample } from '../../src/channels.ts';
import { EXPORT_KINDS } from '../../src/export/exportKinds.ts';
import { recordOf } from '../../src/record/record.ts';
import { workWhole } from '../../src/replay/course.ts';
import { SYSTEM_UNITS, toInside, type UnitSystem } from '../../src/units.ts';
import { busyJournal, demoCourse, type ReadCourse } from '../support/demoCourse.ts';
import {
  courseOfSamples,
  exportInput,
  isWithinRounding,
  NO_SOURCE,
  packed,
  readBack,
  smallPlan,
  textOf,
} from './exportedRun.ts';

const SYSTEMS: readonly UnitSystem[] = ['metric', 'field'];
const FORMATS = [
  ['csv', 'csv'],
  ['las', 'las'],
  ['witsml', 'witsml'],
] as const;

let demo: ReadCourse;
beforeAll(async () => {
  demo = await demoCourse();
});

test.each(FORMATS)('the demo as %s comes back bit for bit', (kind, format) => {
  const input = exportInput(demo.course, demo.source, 'metric');
  const back = readBack(format, textOf(EXPORT_KINDS[kind].write(input, {})), input.job.stream);
  expect(back.length).toBe(demo.samples.length);
  expect(packed(back).equals(packed(demo.samples))).toBe(true);
});

test.each(FORMATS)(
  'the demo as %s in field units comes back but for rounding, and is then written the same',
  (kind, format) => {
    const input = exportInput(demo.course, demo.source, 'field');
    const text = textOf(EXPORT_KINDS[kind].write(input, {}));
    const back = readBack(format, text, input.job.stream);
    expect(back.length).toBe(demo.samples.length);
    expect(isWithinRounding(back, demo.samples)).toBe(true);
    const again = exportInput({ ...demo.course, samples: courseOfSamples(back).samples }, demo.source, 'field');
    expect(textOf(EXPORT_KINDS[kind].write(again, {}))).toBe(text);
  },
);

/** A reading as a rig sends it: some decimals, in a unit of either system. */
const reading = (id: (typeof CHANNEL_IDS)[number], system: UnitSystem): fc.Arbitrary<number> => {
  const { quantity } = CHANNELS[id];
  if (id === 'inSlips') return fc.constantFrom(0, 1, Number.NaN);
  return fc
    .tuple(fc.integer({ min: -4_000_000, max: 90_000_000 }), fc.integer({ min: 0, max: 5 }), fc.boolean())
    .map(([digits, decimals, isMissing]) =>
      isMissing ? Number.NaN : toInside(digits / 10 ** decimals, SYSTEM_UNITS[system][quantity]),
    );
};

const rowsIn = (system: UnitSystem): fc.Arbitrary<Sample[]> =>
  fc
    .array(fc.tuple(fc.integer({ min: 1, max: 4000 }), ...CHANNEL_IDS.map((id) => reading(id, system))), {
      minLength: 4,
      maxLength: 12,
    })
    .map((drawn) => {
      let ms = Date.UTC(2031, 2, 4, 22);
      return drawn.map(([step, ...values]) => {
        ms += step;
        const sample = emptySample(ms, ms);
        for (const [c, id] of CHANNEL_IDS.entries()) sample[id] = values[c]!;
        return sample;
      });
    })
    // A channel that is never there has no column, and a file without one is no log.
    .filter((samples) => samples.some(({ bitDepth }) => !Number.isNaN(bitDepth)));

describe.each(FORMATS)('any readings as %s', (kind, format) => {
  const backIn = (samples: readonly Sample[], utcOffset: string, units: UnitSystem): Sample[] => {
    const plan = { ...smallPlan(), stream: { utcOffset, nulls: [], gapAfter: 5 } };
    const input = exportInput(courseOfSamples(samples, plan), NO_SOURCE, units);
    return readBack(format, textOf(EXPORT_KINDS[kind].write(input, {})), input.job.stream);
  };
  const zones = fc.constantFrom('+00:00', '+05:30', '-03:00');

  test.each(SYSTEMS)('in the %s units that they came in are bit for bit as they were', (units) => {
    fc.assert(
      fc.property(rowsIn(units), zones, (samples, utcOffset) => {
        expect(packed(backIn(samples, utcOffset, units)).equals(packed(samples))).toBe(true);
      }),
      { numRuns: 60 },
    );
  });

  test('in other units are what they were but for rounding', () => {
    fc.assert(
      fc.property(rowsIn('metric'), zones, (samples, utcOffset) => {
        const back = backIn(samples, utcOffset, 'field');
        expect(back.map(({ sourceMs }) => sourceMs)).toEqual(samples.map(({ sourceMs }) => sourceMs));
        expect(isWithinRounding(back, samples)).toBe(true);
      }),
      { numRuns: 60 },
    );
  });
});

test('the record is that of the course, also with a journal and another plan on the way', () => {
  const { course, samples, source } = demo;
  const lastsMs = samples.at(-1)!.sourceMs - samples[0]!.sourceMs;
  const busy = { ...course, entries: busyJournal(course.plan, samples[0]!.sourceMs, lastsMs, 2410) };
  const input = exportInput(busy, source, 'metric');
  const expected = recordOf(workWhole(busy).run, source);
  expect(JSON.parse(textOf(EXPORT_KINDS.record.write(input, {})))).toEqual(JSON.parse(JSON.stringify(expected)));
});
