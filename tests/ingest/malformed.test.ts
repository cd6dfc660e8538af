import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { expect, test } from 'vitest';
import { DECODER_LIMITS, WitsDecoder } from '../../ingest/wits/decoder.ts';
import { createWitsReader } from '../../ingest/wits/witsReader.ts';
import { accounted, latin1 } from './decodeAll.ts';
import { depth, STREAM } from './readStream.ts';

const FRAMES = 1_000_000;
const FRAMES_A_CHUNK = 50;
/** Several seconds on a quiet machine; only a decoder that hangs takes longer. */
const TIMEOUT_MS = 180_000;
/** By then all is compiled and every table that is bounded has been filled. */
const WARM_UP_FRAMES = 200_000;
/** What lives may differ by as much from one forced collection to the next; the 90 MB that pass after the warm-up would show in it. */
const NOISE_BYTES = 2 * 1024 * 1024;

setFlagsFromString('--expose-gc');
const collect = runInNewContext('gc') as () => void;

/** Bytes that live, behind a forced collection: on the heap and in arrays outside of it. */
function liveBytes(): number {
  collect();
  collect();
  const { heapUsed, arrayBuffers } = process.memoryUsage();
  return heapUsed + arrayBuffers;
}

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

/** The next frames, each damaged in some way. */
function damaged(from: number, below: (n: number) => number): Uint8Array {
  let text = '';
  for (let second = from; second < from + FRAMES_A_CHUNK; second++) {
    const clock = [Math.floor(second / 3600) % 24, Math.floor(second / 60) % 60, second % 60];
    const time = clock.map((part) => String(part).padStart(2, '0')).join('');
    text += mutate(depth(time, (second * 0.01).toFixed(2), '011220.5', '0114-999.25', '012118000'), below);
  }
  return latin1(text);
}

test(`${FRAMES} malformed frames: no throw, every byte counted, memory bounded, time in order`, {
  timeout: TIMEOUT_MS,
}, () => {
  const below = seeded(20_310_304);
  const seen = { samples: 0, backwards: 0, lastMs: Number.NEGATIVE_INFINITY };
  const reader = createWitsReader(STREAM, ({ sourceMs }) => {
    if (!(sourceMs > seen.lastMs)) seen.backwards++;
    seen.lastMs = sourceMs;
    seen.samples++;
  });
  const decoder = new WitsDecoder(() => {});
  let sent = 0;
  let warm = 0;
  for (let i = 0; i < FRAMES; i += FRAMES_A_CHUNK) {
    if (i === WARM_UP_FRAMES) warm = liveBytes();
    const bytes = damaged(i, below);
    sent += bytes.length;
    decoder.push(bytes);
    reader.push(bytes, Number.NaN);
    if (decoder.retained > DECODER_LIMITS.packetBytes) expect.fail(`${decoder.retained} bytes kept at frame ${i}`);
  }
  expect(liveBytes() - warm).toBeLessThan(NOISE_BYTES);
  decoder.finish();
  reader.end();
  expect(decoder.retained).toBe(0);
  expect(decoder.bytes).toBe(sent);
  expect(accounted(decoder)).toBe(sent);
  expect(reader.counts.bytes).toBe(sent);
  expect(reader.counts.unknownCodes.size).toBeLessThanOrEqual(500);
  expect(seen.backwards).toBe(0);
  expect(seen.samples).toBe(reader.counts.samples);
  expect(seen.samples).toBeGreaterThan(0);
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
