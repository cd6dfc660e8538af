import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { seededRandom } from '../../ingest/simulator/random.ts';
import { readHead } from '../../server/keep/logHead.ts';
import { nodeDisk } from '../../server/keep/nodeDisk.ts';
import { openRawLog } from '../../server/keep/openRawLog.ts';
import type { RawLog } from '../../server/keep/rawLog.ts';
import { encodeRecord, RECORD_OVERHEAD, segmentSeed } from '../../server/keep/rawRecord.ts';
import { type Damage, readLog } from '../../server/keep/readLog.ts';
import { SEGMENT_HEADER_BYTES, segmentName } from '../../server/keep/segment.ts';

const START_MS = Date.UTC(2031, 2, 4);
let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'jointwise-raw-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const KEY = Uint8Array.from({ length: 16 }, (_, i) => i * 7);
const payload = (n: number): Buffer => Buffer.from(`&&\r\n0108${n}.25\r\n${'x'.repeat((n * 37) % 90)}!!\r\n`);

async function opened(segmentBytes?: number): Promise<{ log: RawLog; reports: string[] }> {
  const reports: string[] = [];
  const report = (line: string) => void reports.push(line);
  const more = segmentBytes === undefined ? {} : { segmentBytes };
  const log = await openRawLog({ disk: nodeDisk, folder, nowMs: () => START_MS, report, newKey: () => KEY, ...more });
  return { log, reports };
}

async function written(count: number, segmentBytes?: number): Promise<void> {
  const { log } = await opened(segmentBytes);
  for (let n = 1; n <= count; n++) await log.append('bytes', payload(n), START_MS + n * 1000);
  await log.close();
}

interface Read {
  readonly numbers: number[];
  readonly damages: Damage[];
  /** Every record is the one that was written under its number. */
  readonly allTrue: boolean;
}

function readBack(): Read {
  const read: Read & { allTrue: boolean } = { numbers: [], damages: [], allTrue: true };
  for (const item of readLog(nodeDisk, folder)) {
    if (item.kind === 'damage') read.damages.push(item.damage);
    else {
      const { number, bytes, arrivalMs } = item.record;
      read.numbers.push(number);
      if (!payload(number).equals(bytes) || arrivalMs !== START_MS + number * 1000) read.allTrue = false;
    }
  }
  return read;
}

const upTo = (n: number): number[] => Array.from({ length: n }, (_, i) => i + 1);
const path = (segment = 1): string => join(folder, segmentName(segment));

describe('a record that was acknowledged', () => {
  test('is read back with its number, its time and its bytes, over several segments', async () => {
    await written(300, 4000);
    expect(readBack()).toEqual({ numbers: upTo(300), damages: [], allTrue: true });
    expect(nodeDisk.list(folder).length).toBeGreaterThan(5);
  });

  test('has the number of its turn, however many are appended at once', async () => {
    const { log } = await opened();
    const appended = await Promise.all(upTo(500).map((n) => log.append('bytes', payload(n), START_MS + n * 1000)));
    await log.close();
    expect(appended.map((a) => a.kind === 'recorded' && a.number)).toEqual(upTo(500));
    expect(readBack().numbers).toEqual(upTo(500));
  });

  test('is followed by the next number when the log is opened again, and the chain goes on', async () => {
    await written(10);
    const { log, reports } = await opened();
    expect(await log.append('bytes', payload(11), START_MS + 11_000)).toMatchObject({ kind: 'recorded', number: 11 });
    await log.close();
    expect(reports).toEqual([]);
    expect(readBack()).toEqual({ numbers: upTo(11), damages: [], allTrue: true });
  });

  test('goes on being written when the one who waits appends at once', async () => {
    const { log } = await opened();
    let n = 0;
    // Each in the turn in which the one before is told: the log may just be about to rest.
    const next = (): Promise<unknown> | undefined =>
      ++n > 200 ? undefined : log.append('bytes', payload(n), START_MS + n * 1000).then(next);
    await next();
    await log.close();
    expect(readBack().numbers).toEqual(upTo(200));
  });
});

test('room that was made ahead is no damage, and a bit that turns in it is named', async () => {
  const { log } = await opened();
  await log.append('bytes', payload(1), START_MS + 1000);
  // As a kill leaves it: nothing is closed.
  const left = readFileSync(path());
  await log.close();
  expect(left.length).toBeGreaterThan(readFileSync(path()).length);
  writeFileSync(path(), left);
  expect(readBack()).toEqual({ numbers: [1], damages: [], allTrue: true });
  const again = await opened();
  await again.log.close();
  expect(again.reports).toEqual([]);
  left[left.length - 1000]! ^= 1;
  writeFileSync(path(), left);
  expect(readBack()).toMatchObject({ numbers: [1], damages: [{ kind: 'tail' }], allTrue: true });
});

describe('a log that was cut', () => {
  test('at any byte holds the records before it, names the rest, and takes the next number after what is known', async () => {
    await written(12);
    const whole = readFileSync(path());
    const ends = [...readLog(nodeDisk, folder)].map((item) => (item.kind === 'record' ? item.record.end : 0));
    for (let cut = 0; cut < whole.length; cut++) {
      writeFileSync(path(), whole.subarray(0, cut));
      const left = ends.filter((end) => end <= cut).length;
      const { numbers, damages, allTrue } = readBack();
      expect({ cut, numbers, allTrue }).toEqual({ cut, numbers: upTo(left), allTrue: true });
      const isBetween = cut === SEGMENT_HEADER_BYTES || ends.includes(cut);
      expect({ cut, named: damages.length > 0 }).toEqual({ cut, named: !isBetween });
    }
  });

  test('is opened again with its loss told, its segment left as it is, and no number given twice', async () => {
    await written(12);
    const whole = readFileSync(path());
    writeFileSync(path(), whole.subarray(0, whole.length - 100));
    const { log, reports } = await opened();
    expect(reports.join()).toContain('the log ends with record 11, expected 12: its tail is lost');
    expect(await log.append('bytes', payload(13), START_MS + 13_000)).toMatchObject({ number: 13 });
    await log.close();
    const { numbers, damages, allTrue } = readBack();
    expect({ numbers, allTrue }).toEqual({ numbers: [...upTo(11), 13], allTrue: true });
    expect(damages[0]).toMatchObject({
      afterNumber: 11,
      beforeNumber: 13,
      fromMs: START_MS + 11_000,
      toMs: START_MS + 13_000,
    });
  });

  test('behind what was acknowledged loses what was never promised, and says so', async () => {
    await written(12);
    writeFileSync(path(), Buffer.concat([readFileSync(path()), Buffer.from('JWr1 half a record')]));
    const { log, reports } = await opened();
    await log.close();
    expect(reports.join('\n')).toContain('bytes behind its last whole record are cut away');
    expect(readBack()).toEqual({ numbers: upTo(12), damages: [], allTrue: true });
  });
});

describe('a log with damage', () => {
  test('of one bit anywhere never gives a wrong record, and names the place and the hole', async () => {
    await written(40, 2500);
    const segments = nodeDisk.list(folder).filter((name) => name.startsWith('raw-'));
    const wholes = segments.map((name) => readFileSync(join(folder, name)));
    const random = seededRandom(4);
    for (let flip = 0; flip < 600; flip++) {
      const i = random.whole(0, segments.length - 1);
      const bytes = Buffer.from(wholes[i]!);
      const bit = random.whole(0, bytes.length * 8 - 1);
      bytes[bit >> 3]! ^= 1 << (bit & 7);
      writeFileSync(join(folder, segments[i]!), bytes);
      const { numbers, damages, allTrue } = readBack();
      const found = { flip, allTrue, named: damages.length > 0, segment: damages[0]?.segment };
      expect(found).toEqual({ flip, allTrue: true, named: true, segment: i + 1 });
      const at = bit >> 3;
      expect(damages.some((damage) => at >= damage.at && at < damage.at + Math.max(1, damage.bytes))).toBe(true);
      const missing = upTo(40).filter((n) => !numbers.includes(n));
      expect(missing.length).toBeLessThanOrEqual(1);
      for (const n of missing) {
        expect(damages.some((d) => (d.afterNumber ?? 0) < n && (d.beforeNumber ?? 99) > n)).toBe(true);
      }
      writeFileSync(join(folder, segments[i]!), wholes[i]!);
    }
  });

  test('of any bytes put anywhere never gives a wrong record', async () => {
    await written(20, 2000);
    const whole = readFileSync(path());
    fc.assert(
      fc.property(fc.nat(whole.length), fc.nat(200), fc.uint8Array({ maxLength: 200 }), (at, removed, put) => {
        writeFileSync(path(), Buffer.concat([whole.subarray(0, at), put, whole.subarray(at + removed)]));
        const { numbers, allTrue } = readBack();
        expect(allTrue).toBe(true);
        expect(numbers).toEqual([...new Set(numbers)].sort((a, b) => a - b));
      }),
      { numRuns: 300, seed: 11 },
    );
  });

  test('takes no record out of the bytes of another, even when its header is gone', async () => {
    const { log } = await opened();
    const inner = Buffer.alloc(RECORD_OVERHEAD + 5);
    const forged = { number: 1, arrivalMs: START_MS + 1000, kind: 'bytes', bytes: Buffer.from('false') } as const;
    // As another run of the same source would have it, at the very place where it comes to lie.
    encodeRecord(inner, 0, forged, segmentSeed(new Uint8Array(16), 1), SEGMENT_HEADER_BYTES + 36, new Uint8Array(32));
    await log.append('bytes', inner, START_MS + 1000);
    await log.close();
    const bytes = readFileSync(path());
    bytes[SEGMENT_HEADER_BYTES + 5]! ^= 1;
    writeFileSync(path(), bytes);
    expect(readBack()).toMatchObject({ numbers: [] });
  });

  test('put in with checksums that hold breaks the chain', async () => {
    await written(5);
    const bytes = readFileSync(path());
    const records = [...readLog(nodeDisk, folder)].map((item) => (item.kind === 'record' ? item.record : null));
    const third = records[2]!;
    const changed = Buffer.from(third.bytes);
    changed[4]! ^= 1;
    const record = { number: 3, arrivalMs: third.arrivalMs, kind: 'bytes', bytes: changed } as const;
    // Somebody who knows the key, the place and the form, and has a hash of another chain.
    encodeRecord(bytes, third.at, record, segmentSeed(KEY, 1), third.at, new Uint8Array(32));
    writeFileSync(path(), bytes);
    const { numbers, damages } = readBack();
    expect(numbers).not.toContain(3);
    expect(damages[0]!.line).toContain('record 3 was changed after it was written');
  });

  test('of a whole segment tells which one is gone', async () => {
    await written(60, 2000);
    rmSync(path(2));
    const { numbers, damages, allTrue } = readBack();
    expect(allTrue).toBe(true);
    expect(damages[0]).toMatchObject({
      kind: 'segment',
      segment: 2,
      line: 'raw-00002.log: found nothing, expected a segment',
    });
    expect(numbers.length).toBeLessThan(60);
  });
});

test('one of the two slots of the head is enough', async () => {
  await written(3);
  const head = readFileSync(join(folder, 'head'));
  for (let at = 0; at < head.length; at++) {
    const bytes = Buffer.from(head);
    bytes[at]! ^= 0x10;
    writeFileSync(join(folder, 'head'), bytes);
    const read = readHead(nodeDisk, folder);
    expect({ at, number: read.head?.number, damaged: read.damaged.length }).toEqual({ at, number: 3, damaged: 1 });
  }
});
