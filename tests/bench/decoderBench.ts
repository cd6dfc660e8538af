/** The WITS decoder alone beside the byte scanner, its ceiling, on the same chunks. */
import { readFileSync } from 'node:fs';
import { WitsDecoder } from '../../ingest/wits/decoder.ts';
import { type BenchLine, inMs } from './benchLine.ts';
import { ByteScanner } from './byteScanner.ts';
import { interleave } from './interleave.ts';
import { chunksOf, TRIP_FRAMES, trip72h } from './trip72h.ts';

const ROUNDS = 15;
const CHUNK_BYTES = 64 * 1024;
const ITEMS = 20;

export async function run(): Promise<BenchLine[]> {
  const chunks = [...chunksOf(readFileSync(trip72h().streamFile), CHUNK_BYTES)];
  const decode = () => {
    let items = 0;
    const decoder = new WitsDecoder((packet) => {
      items += packet.count;
    });
    for (const chunk of chunks) decoder.push(chunk);
    decoder.finish();
    if (items !== TRIP_FRAMES * ITEMS) throw new Error(`the decoder gave ${items} items`);
  };
  const scan = () => {
    const scanner = new ByteScanner(CHUNK_BYTES);
    for (const chunk of chunks) scanner.push(chunk);
    if (scanner.lines !== TRIP_FRAMES * ITEMS) throw new Error(`the scanner gave ${scanner.lines} lines`);
  };
  const { ours, beside, ratio } = await interleave(ROUNDS, decode, scan, 3);
  const line = { what: 'decode 72 h of frames', ours: inMs(ours), beside: `${inMs(beside)} plain byte scanner` };
  return [{ ...line, found: ratio, unit: '×', goal: 2 }];
}
