import { expect, test } from 'vitest';
import { DECODER_LIMITS, WitsDecoder } from '../../ingest/wits/decoder.ts';
import { createWitsReader } from '../../ingest/wits/witsReader.ts';
import { accounted, latin1 } from './decodeAll.ts';
import { depth, STREAM } from './readStream.ts';

/** The goal is a million; the rate at which they pass is the same. */
const FRAMES = 100_000;
const FRAMES_A_CHUNK = 50;

/** Numerical Recipes' quick 32-bit generator (from memory): seeded, so that a failing run can be had again. */
function seeded(seed: number): (below: number) => number {
  let state = seed >>> 0;
  return (below) => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return Math.floor((state / 2 ** 32) * below);
  };
}

const INSERTS = [
  '&&',
  '!!',
  '&',
  '!',
  '\r',
  '\n',
  '\0',
  '0108',
  '-9999',
  'NAN',
  '1e999',
  '0106',
  '999999999999',
  '\xff',
  ' ',
];

function mutate(frame: string, below: (n: number) => number): string {
  let text = frame;
  for (let k = 1 + below(4); k > 0; k--) {
    const place = below(text.length + 1);
    const insert = INSERTS[below(INSERTS.length)]!;
    const cut = below(3) === 0 ? below(20) : 0;
    text = text.slice(0, place) + (below(40) === 0 ? insert.repeat(200) : insert) + text.slice(place + cut);
  }
  return text;
}

test(`${FRAMES} malformed frames: no throw, every byte counted, memory bounded, time in order`, () => {
  const below = seeded(20_310_304);
  let samples = 0;
  let lastMs = Number.NEGATIVE_INFINITY;
  const reader = createWitsReader(STREAM, (sample) => {
    expect(sample.sourceMs > lastMs).toBe(true);
    lastMs = sample.sourceMs;
    samples++;
  });
  const decoder = new WitsDecoder(() => {});
  let sent = 0;
  for (let i = 0; i < FRAMES; i += FRAMES_A_CHUNK) {
    let text = '';
    for (let k = 0; k < FRAMES_A_CHUNK; k++) {
      const second = i + k;
      const clock = [Math.floor(second / 3600) % 24, Math.floor(second / 60) % 60, second % 60];
      const time = clock.map((part) => String(part).padStart(2, '0'));
      text += mutate(depth(time.join(''), (second * 0.01).toFixed(2), '011220.5', '0114-999.25', '012118000'), below);
    }
    const bytes = latin1(text);
    sent += bytes.length;
    decoder.push(bytes);
    reader.push(bytes, Number.NaN);
    expect(decoder.retained).toBeLessThanOrEqual(DECODER_LIMITS.packetBytes);
  }
  decoder.finish();
  reader.end();
  expect(decoder.retained).toBe(0);
  expect(decoder.bytes).toBe(sent);
  expect(accounted(decoder)).toBe(sent);
  expect(reader.counts.bytes).toBe(sent);
  expect(reader.counts.unknownCodes.size).toBeLessThanOrEqual(500);
  expect(samples).toBe(reader.counts.samples);
  expect(samples).toBeGreaterThan(0);
  for (const reason of ['noise', 'malformed line', 'no trailer', 'out of order', 'unreadable value', 'repeated item']) {
    expect(reader.counts.rejected[reason], reason).toBeGreaterThan(0);
  }
});

test('a mark that never comes keeps nothing, a packet that never ends keeps its limit', () => {
  const decoder = new WitsDecoder(() => {});
  const noise = new Uint8Array(300_000).fill(0x41);
  decoder.push(noise);
  expect(decoder.retained).toBe(0);
  decoder.push(latin1('&&'));
  for (let i = 0; i < 20; i++) {
    decoder.push(noise.subarray(0, 10_000));
    expect(decoder.retained).toBeLessThanOrEqual(DECODER_LIMITS.packetBytes);
  }
  decoder.finish();
  expect(accounted(decoder)).toBe(500_002);
  expect(decoder.counts['packet too long']).toBe(1);
});
