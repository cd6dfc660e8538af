import { expect, test } from 'vitest';
import { RECOGNISE_BYTES, type StreamFormat } from '../../ingest/recognise.ts';
import { createRecognisedReader } from '../../ingest/recognisedReader.ts';
import { READERS } from '../../server/readers.ts';
import { emptySample, type Sample } from '../../src/channels.ts';
import { csvText, lasText, witsmlText } from '../support/tableWriters.ts';
import { depth, STREAM } from './readStream.ts';

const NOON = Date.UTC(2031, 2, 4, 12);
const SAMPLES: Sample[] = Array.from({ length: 3 }, (_, i) =>
  Object.assign(emptySample(NOON + i * 1000, NOON + i * 1000), { bitDepth: 1000 + i }),
);

function read(bytes: Uint8Array): { formats: StreamFormat[]; depths: number[]; bytes: number } {
  const formats: StreamFormat[] = [];
  const depths: number[] = [];
  const reader = createRecognisedReader((format) => {
    formats.push(format);
    return READERS[format](STREAM, ({ bitDepth }) => depths.push(bitDepth));
  });
  for (let i = 0; i < bytes.length; i += 7) reader.push(bytes.subarray(i, i + 7), Number.NaN);
  reader.end();
  return { formats, depths, bytes: reader.counts.bytes };
}

test.each([
  ['wits0', [0, 1, 2].map((s) => depth(`12000${s}`, 1000 + s)).join('')],
  ['csv', csvText(SAMPLES)],
  ['las', lasText(SAMPLES)],
  ['witsml', witsmlText(SAMPLES)],
] as const)('%s in small pieces is told by its first bytes, and none is lost', (format, text) => {
  const bytes = Buffer.from(text);
  expect(read(bytes)).toEqual({ formats: [format], depths: [1000, 1001, 1002], bytes: bytes.length });
});

test('what is none that we know is counted by the reader of WITS', () => {
  const bytes = new Uint8Array(RECOGNISE_BYTES + 100).fill(65);
  expect(read(bytes)).toEqual({ formats: ['wits0'], depths: [], bytes: bytes.length });
  expect(read(new Uint8Array(0))).toEqual({ formats: ['wits0'], depths: [], bytes: 0 });
});
