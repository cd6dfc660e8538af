/** A run that is cut off anywhere goes on as if it had not been. */
import { readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import fc from 'fast-check';
import { afterAll, afterEach, beforeAll, describe, expect, test, vi } from 'vitest';
import { recordOfKeptRun } from '../../server/cli/recordOfKeptRun.ts';
import { readRun } from '../../server/keep/runLibrary.ts';
import { segmentName } from '../../server/keep/segment.ts';
import { keptPlan } from '../../server/recording/keptRun.ts';
import type { LeftOutState } from '../../src/live/messages.ts';
import { crashImage, KeptService, newFolder, removeFolders, runFolderOf, STREAM } from './keptService.ts';

// A loaded machine: what takes seconds alone may take a minute.
vi.setConfig({ testTimeout: 180_000, hookTimeout: 180_000 });

const BYTES = readFileSync(STREAM).subarray(0, 700_000);
/** Where people enter something, and where the last bytes are. */
const ENTERED_AT = 350_001;
const NOTE = { action: 'note', by: 'A. Person', text: 'looked at the gauge' } as const;
const REJECT = { action: 'reject', by: 'A. Person', joint: 'S1', reason: 'torn' } as const;

const services: KeptService[] = [];
afterEach(async () => {
  for (const service of services.splice(0)) await service.close();
});
afterAll(removeFolders);

async function open(data: string): Promise<KeptService> {
  const service = await KeptService.open(data, { keepEverySamples: 400 });
  services.push(service);
  return service;
}

/** In uneven pieces, as a socket gives them. */
async function pieces(service: KeptService, from: number, to: number): Promise<void> {
  for (let at = from, n = 0; at < to; n++) {
    const end = Math.min(to, at + 700 + ((n * 7919) % 2500));
    service.send(BYTES.subarray(at, end));
    at = end;
    if (n % 20 === 0) await service.settled(at);
  }
  await service.settled(to);
}

async function feed(service: KeptService, from: number, to: number): Promise<void> {
  if (from >= ENTERED_AT || to < ENTERED_AT) return pieces(service, from, to);
  await pieces(service, from, ENTERED_AT);
  await service.live.enter({ ...NOTE });
  await service.live.enter({ ...REJECT });
  const plan = { ...service.live.plan, acceptance: { coverage: 0.6, longestGap: 2 } };
  await service.live.enter({ action: 'change plan', by: 'A. Person', plan, reason: 'agreed by phone' });
  await pieces(service, ENTERED_AT, to);
}

interface Outcome {
  readonly record: string;
  readonly traces: string;
  readonly plan: string;
  /** What pages are told of the journal. */
  readonly lines: string;
}
const outcome = (service: KeptService): Outcome => ({
  record: service.record(),
  traces: service.traces(),
  plan: JSON.stringify(service.live.plan),
  lines: JSON.stringify(service.live.snapshot(0).journal),
});

let whole: Outcome;
beforeAll(async () => {
  const service = await open(newFolder());
  await feed(service, 0, BYTES.length);
  whole = outcome(service);
  // What is compared says something.
  expect(whole.record).toContain('torn');
  expect(JSON.parse(whole.lines).lines).toHaveLength(3);
  expect(whole.plan).toContain('"coverage":0.6');
  expect(JSON.parse(whole.record).joints.some((joint: { expanded: number }) => joint.expanded > 5)).toBe(true);
});

function bytesKept(data: string): number {
  const run = readRun(data, basename(runFolderOf(data)));
  let bytes = 0;
  for (const item of run.read()) {
    if (item.kind === 'record' && item.record.kind === 'bytes') bytes += item.record.bytes.length;
  }
  run.close();
  return bytes;
}

/** A data folder whose run was cut off after so many bytes. */
async function cutAt(at: number): Promise<string> {
  const service = await open(newFolder());
  await feed(service, 0, at);
  const image = crashImage(service.data);
  expect(bytesKept(image)).toBe(at);
  return image;
}

const cacheFiles = (data: string): string[] => {
  const cache = join(runFolderOf(data), 'cache');
  return readdirSync(cache).map((name) => join(cache, name));
};
const states = (data: string): string[] => cacheFiles(data).filter((path) => path.endsWith('.snap'));

describe('a run that was cut off and goes on is the uninterrupted one, to the byte', () => {
  test('wherever it was cut, also within a frame and twice', async () => {
    const place = fc.integer({ min: 1, max: BYTES.length - 1 });
    await fc.assert(
      fc.asyncProperty(place, place, async (one, other) => {
        const [first, second] = [Math.min(one, other), Math.max(one, other)];
        const again = await open(await cutAt(first));
        await feed(again, first, second);
        const image = crashImage(again.data);
        const third = await open(image);
        await feed(third, second, BYTES.length);
        expect(outcome(third)).toEqual(whole);
        expect(third.reports).toEqual([expect.stringContaining('taken over from process')]);
        for (const service of services.splice(0)) await service.close();
      }),
      { numRuns: 3, seed: 11, examples: [[ENTERED_AT, ENTERED_AT + 1]] },
    );
  });

  test('from a state that was kept, not from the first byte', async () => {
    const image = await cutAt(600_000);
    expect(states(image).length).toBeGreaterThan(1);
    // Bytes before the state are gone from reach: whatever is asked of the run is answered from the state.
    const again = await open(image);
    expect(again.opened.parts.past.state?.run.samples).toBeGreaterThan(2000);
    await feed(again, 600_000, BYTES.length);
    expect(outcome(again)).toEqual(whole);
  });

  test('when what was kept of its state is damaged, cut short, gone, or of another run', async () => {
    const image = await cutAt(600_000);
    const spoil: Record<string, (path: string, content: Buffer) => void> = {
      'a bit turned': (path, content) => {
        content[content.length >> 1]! ^= 4;
        writeFileSync(path, content);
      },
      'cut short': (path, content) => writeFileSync(path, content.subarray(0, content.length - 9)),
      gone: (path) => rmSync(path),
    };
    for (const [how, work] of Object.entries(spoil)) {
      for (const only of ['states', 'traces', 'both'] as const) {
        const spoilt = crashImage(image);
        for (const path of cacheFiles(spoilt)) {
          if (only === 'both' || path.endsWith('.snap') === (only === 'states')) work(path, readFileSync(path));
        }
        const again = await open(spoilt);
        // A state before the first damaged row still holds.
        if (only !== 'traces') expect(again.opened.parts.past.state === null, `${only} ${how}`).toBe(true);
        await feed(again, 600_000, BYTES.length);
        expect(outcome(again), `${only} ${how}`).toEqual(whole);
      }
    }
  });

  test('when the newest state alone is damaged: from the one before', async () => {
    const image = await cutAt(600_000);
    const newest = states(image).sort().at(-1)!;
    writeFileSync(newest, readFileSync(newest).subarray(50));
    const again = await open(image);
    expect(again.opened.parts.past.state?.run.samples).toBeGreaterThan(1000);
    expect(again.reports.join()).toContain('the checksum does not hold');
    await feed(again, 600_000, BYTES.length);
    expect(outcome(again)).toEqual(whole);
  });
});

describe('a record that was damaged since', () => {
  /** The end of a frame. */
  const CUT_AT = BYTES.indexOf('!!', 500_000) + 4;
  let cut: string;
  beforeAll(async () => {
    cut = await cutAt(CUT_AT);
  });

  /** The run with one bit turned in a record of bytes about so far into it. */
  async function rotten(data: string, share: number): Promise<string> {
    const image = crashImage(data);
    const run = readRun(image, basename(runFolderOf(image)));
    const records = [...run.read()].flatMap((item) =>
      item.kind === 'record' && item.record.kind === 'bytes' ? [item.record] : [],
    );
    const { segment, at } = records[Math.floor(records.length * share)]!;
    run.close();
    const path = join(runFolderOf(image), segmentName(segment));
    const log = readFileSync(path);
    log[at + 60]! ^= 8;
    writeFileSync(path, log);
    return image;
  }

  /** What is said of the rig. How the bytes end is not: for `analyse` they have ended, a run that goes on waits for more. */
  const said = (record: string): unknown => {
    const { source, ...rest } = JSON.parse(record);
    return { ...rest, from: source.from, to: source.to, frames: source.frames };
  };

  /** Of what is on the disk, worked out from its first byte, as `analyse --run` does. */
  async function analysed(data: string): Promise<unknown> {
    const run = readRun(data, basename(runFolderOf(data)));
    try {
      return said(JSON.stringify(await recordOfKeptRun(run, keptPlan(run).job, () => {})));
    } finally {
      run.close();
    }
  }

  function namesOne(leftOut: LeftOutState | undefined): void {
    expect(leftOut?.count).toBe(1);
    const { line, fromMs, toMs } = leftOut!.places[0]!;
    expect(line).toMatch(/^damaged record \d+ left out$/);
    expect(toMs! - fromMs!).toBeGreaterThan(0);
  }

  test('keeps a state of before from being taken up: the run is that of the log as it is now', async () => {
    const image = await rotten(cut, 0.1);
    const expected = await analysed(image);
    const without = crashImage(image);
    for (const path of cacheFiles(without)) rmSync(path);
    const anew = await open(without);
    const again = await open(image);
    expect(again.opened.parts.past.state).toBe(null);
    expect(again.reports.join()).toContain('a record before it has been damaged since it was kept');
    expect(outcome(again)).toEqual(outcome(anew));
    expect(said(again.record())).toEqual(expected);
    namesOne(again.live.ingest().leftOut);
    expect(expected).not.toEqual(await analysed(cut));
  });

  test('behind a state leaves it in use; the rows of the traces behind it are worked out again', async () => {
    const image = await rotten(cut, 0.75);
    const expected = await analysed(image);
    const without = crashImage(image);
    for (const path of cacheFiles(without)) rmSync(path);
    const anew = await open(without);
    const again = await open(image);
    const { state } = again.opened.parts.past;
    expect(state?.run.samples).toBeGreaterThan(400);
    expect(said(again.record())).toEqual(expected);
    namesOne(again.live.ingest().leftOut);
    expect(outcome(again)).toEqual(outcome(anew));
  });

  test('before a state was kept leaves that state in use: it was worked out without the record', async () => {
    const image = await rotten(cut, 0.3);
    const damaged = await open(image);
    const missing = CUT_AT - damaged.live.ingest().bytes;
    const end = BYTES.indexOf('!!', 600_000) + 4;
    for (let at = CUT_AT; at < end; at += 2_000) {
      damaged.send(BYTES.subarray(at, Math.min(end, at + 2_000)));
      if (at % 10 === 0) await damaged.settled(Math.min(end, at + 2_000) - missing);
    }
    await damaged.settled(end - missing);
    const expected = damaged.record();
    const again = await open(crashImage(image));
    expect(again.opened.parts.past.state?.run.samples).toBeGreaterThan(1500);
    expect(again.reports.join()).not.toContain('damaged since');
    expect(again.record()).toBe(expected);
    expect(said(again.record())).toEqual(await analysed(again.data));
    // It was worked out without the record: between which samples it lay is no longer known.
    expect(again.live.ingest().leftOut).toEqual({
      count: 1,
      places: [{ line: expect.stringMatching(/^damaged record \d+ left out$/), fromMs: null, toMs: null }],
    });
  });
});
