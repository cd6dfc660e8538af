import { readFileSync } from 'node:fs';
import { deserialize, serialize } from 'node:v8';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { putReaderState, readerStateOf } from '../../ingest/readerState.ts';
import type { StreamReader } from '../../ingest/streamReader.ts';
import { createWitsReader } from '../../ingest/wits/witsReader.ts';
import type { Sample } from '../../src/channels.ts';
import type { Job } from '../../src/plan/job.ts';

const STREAM: Job['stream'] = { units: 'metric', utcOffsetMs: 0, nulls: [-999.25], gapAfterMs: 5000, channels: {} };
const CLEAN = readFileSync('replay-data/demo.wits').subarray(0, 60_000);

function read(samples: Sample[]): StreamReader {
  return createWitsReader(STREAM, (sample) => void samples.push({ ...sample }));
}

const said = (reader: StreamReader, samples: readonly Sample[]): string =>
  JSON.stringify([samples, { ...reader.counts, unknownCodes: [...reader.counts.unknownCodes] }]);

/** Bytes lost, turned and sent twice: so that suspects wait, clocks step and packets break. */
const dirt = fc.array(
  fc.record({
    at: fc.integer({ min: 0, max: CLEAN.length - 1 }),
    how: fc.constantFrom('lost', 'turned', 'twice', 'a clock step'),
    length: fc.integer({ min: 1, max: 900 }),
  }),
  { maxLength: 6 },
);

function dirty(spots: readonly { at: number; how: string; length: number }[]): Buffer {
  let bytes = Buffer.from(CLEAN);
  for (const { at, how, length } of spots) {
    const [before, cut, after] = [bytes.subarray(0, at), bytes.subarray(at, at + length), bytes.subarray(at + length)];
    if (how === 'lost') bytes = Buffer.concat([before, after]);
    else if (how === 'twice') bytes = Buffer.concat([before, cut, cut, after]);
    else if (how === 'turned') bytes = Buffer.concat([before, cut.map((byte) => byte ^ 5), after]);
    else bytes = Buffer.concat([before, Buffer.from(after.toString('latin1').replace(/^0106/gm, '0199'), 'latin1')]);
  }
  return bytes;
}

test('a reader that was kept and put back anywhere goes on as if it had not been', () => {
  fc.assert(
    fc.property(dirt, fc.double({ min: 0, max: 1, noNaN: true }), fc.boolean(), (spots, share, live) => {
      const bytes = dirty(spots);
      const cut = Math.floor(share * bytes.length);
      const arrivalMs = live ? Date.UTC(2031, 4, 12, 4) : Number.NaN;
      const whole: Sample[] = [];
      const uncut = read(whole);
      uncut.push(bytes.subarray(0, cut), arrivalMs);
      uncut.push(bytes.subarray(cut), arrivalMs);

      const samples: Sample[] = [];
      const before = read(samples);
      before.push(bytes.subarray(0, cut), arrivalMs);
      const kept = deserialize(serialize(readerStateOf(before)));
      const sofar = [...samples];
      before.push(Buffer.from('&&\r\n0108not of this run\r\n!!\r\n'), arrivalMs);
      const after = read(sofar);
      putReaderState(after, kept);
      after.push(bytes.subarray(cut), arrivalMs);
      expect(said(after, sofar)).toBe(said(uncut, whole));
      after.end();
      uncut.end();
      expect(said(after, sofar)).toBe(said(uncut, whole));
    }),
    { numRuns: 150, seed: 5 },
  );
});

test('a state of another form is our own mistake and is not taken', () => {
  expect(() => putReaderState(read([]), { decoder: {} })).toThrow('the state of a reader has its');
});
