import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { fileSource } from '../../ingest/fileSource.ts';
import { stdinSource } from '../../ingest/stdinSource.ts';
import { ManualClock } from '../support/manualClock.ts';
import { LinkLog } from './linkLog.ts';
import { packet } from './readStream.ts';

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'jointwise-'));
});
afterAll(() => rm(folder, { recursive: true }));

const file = async (name: string, text: string): Promise<string> => {
  const path = join(folder, name);
  await writeFile(path, text, 'latin1');
  return path;
};

test('a file is played whole, without arrival times', async () => {
  const text = packet('01081234.5').repeat(20_000);
  const log = new LinkLog();
  const source = fileSource({ path: await file('whole', text) }, new ManualClock());
  await source.open(log);
  await log.until((each) => each.links.includes('ended'));
  expect(log.text === text).toBe(true);
  expect(log.arrivals.every(Number.isNaN)).toBe(true);
  expect(log.links).toEqual(['connected', 'ended']);
  await source.close();
});

test('a paced file gives its packets by the clock, and can be closed in between', async () => {
  const clock = new ManualClock();
  const log = new LinkLog();
  const source = fileSource({ path: await file('paced', '&&\n01081\n!!'.repeat(10)), packetsPerSecond: 2 }, clock);
  await source.open(log);
  for (let packets = 1; packets <= 3; packets++) {
    await log.until((each) => each.text.split('!!').length - 1 === packets);
    await new Promise(setImmediate);
    clock.advance(499);
    expect(log.text.split('!!').length - 1).toBe(packets);
    clock.advance(1);
  }
  await source.close();
  expect(log.links).toEqual(['connected', 'ended']);
});

test('a paced table gives its lines by the clock', async () => {
  const clock = new ManualClock();
  const log = new LinkLog();
  const path = await file('lines', '2031-03-04T12:00:00Z,1!!\n'.repeat(10));
  const source = fileSource({ path, marks: 'lines', packetsPerSecond: 2 }, clock);
  await source.open(log);
  for (let lines = 1; lines <= 3; lines++) {
    await log.until((each) => each.text.split('\n').length - 1 === lines);
    await new Promise(setImmediate);
    clock.advance(499);
    expect(log.text.split('\n').length - 1).toBe(lines);
    clock.advance(1);
  }
  await source.close();
});

test('a file that is not there, or a folder, is a fault', async () => {
  const clock = new ManualClock();
  for (const path of [join(folder, 'none'), folder]) {
    await expect(fileSource({ path }, clock).open(new LinkLog())).rejects.toMatchObject({ code: 'file unreadable' });
  }
});

test('standard input comes with its arrival and ends with its end', async () => {
  const input = new PassThrough();
  const clock = new ManualClock();
  const log = new LinkLog();
  await stdinSource(input, clock).open(log);
  input.end('&&\r\n01081\r\n!!');
  await log.until((each) => each.links.includes('ended'));
  expect([log.text, log.arrivals]).toEqual(['&&\r\n01081\r\n!!', [clock.nowMs()]]);
});
