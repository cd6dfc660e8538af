/** The run library over HTTP: real files, a real rig on a socket, the routes as a page uses them. */
import { once } from 'node:events';
import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { request } from 'node:http';
import { type AddressInfo, createServer, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { afterEach, describe, expect, onTestFinished, test, vi } from 'vitest';
import WebSocket from 'ws';
import yauzl from 'yauzl';
import { systemClock } from '../../ingest/clock.ts';
import { tcpClientSource } from '../../ingest/tcpClientSource.ts';
import { recordOfStream } from '../../server/cli/recordOfStream.ts';
import { restoreRun } from '../../server/keep/backupRun.ts';
import { nodeDisk } from '../../server/keep/nodeDisk.ts';
import { RunLibrary } from '../../server/keep/runLibrary.ts';
import { readPlan } from '../../server/plan/readPlan.ts';
import { READERS } from '../../server/readers.ts';
import type { KeptSource } from '../../server/recording/keptSource.ts';
import { beginRecording, type OpenRecordingOptions } from '../../server/recording/openRecording.ts';
import { readThrough, takeIn } from '../../server/recording/readThrough.ts';
import { startLibrary, startService } from '../../server/service.ts';
import { CHANNELS } from '../../src/channels.ts';
import {
  type ImportState,
  importSchema,
  LIBRARY_LIMITS,
  type Runs,
  runsSchema,
  verifiedSchema,
} from '../../src/library/librarySchema.ts';
import { snapshotMessageSchema } from '../../src/live/messages.ts';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import { soon } from '../support/pages.ts';
import { csvText, lasText, witsmlText } from '../support/tableWriters.ts';

const PLAN = 'replay-data/demo-plan.json';
const STREAM = readFileSync('replay-data/demo.wits');
/** Enough of it for joints to be begun, and quick. */
const PART = STREAM.subarray(0, STREAM.indexOf('&&', 400_000));

const closers: (() => unknown)[] = [];
afterEach(async () => {
  for (const close of closers.splice(0).reverse()) await close();
});

function dataFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'jointwise-library-'));
  closers.push(() => rmSync(folder, { recursive: true, force: true }));
  return join(folder, 'data');
}

interface Served {
  readonly url: string;
  readonly data: string;
  readonly library: RunLibrary;
}

const report = () => {};
const nowMs = () => systemClock.nowMs();

async function libraryAlone(data = dataFolder()): Promise<Served> {
  const library = new RunLibrary(data, { nowMs, report });
  const service = await startLibrary({
    library,
    data,
    report,
    clock: systemClock,
    host: '127.0.0.1',
    port: 0,
    allowedOrigins: [],
  });
  closers.push(async () => {
    await service.close();
    await library.end();
  });
  return { url: service.url, data, library };
}

interface Answer {
  readonly status: number;
  readonly body: unknown;
}
const get = async (url: string): Promise<Answer> => {
  const answer = await fetch(url);
  return { status: answer.status, body: await answer.json() };
};
async function post(url: string, body: object | Uint8Array): Promise<Answer> {
  const isBytes = body instanceof Uint8Array;
  const answer = await fetch(url, {
    method: 'POST',
    headers: { 'content-type': isBytes ? 'application/octet-stream' : 'application/json' },
    body: isBytes ? Buffer.from(body) : JSON.stringify(body),
  });
  return { status: answer.status, body: await answer.json() };
}
const runsOf = async (url: string): Promise<Runs> => runsSchema.parse((await get(`${url}api/runs`)).body);
const errorOf = ({ body }: Answer): string => {
  const { error } = body as { error: string };
  expect(error.split('\n')).toHaveLength(1);
  return error;
};

interface Given {
  readonly file: string;
  readonly bytes: Uint8Array;
  readonly plan?: string;
  readonly channels?: string;
  readonly journal?: string;
}

/** As far as it was understood, or refused. */
async function sent(url: string, { file, bytes, plan = readFileSync(PLAN, 'utf8'), channels, journal }: Given) {
  const begun = await post(`${url}api/imports/begin`, {
    file,
    bytes: bytes.length,
    plan,
    ...(channels === undefined ? {} : { channels }),
    ...(journal === undefined ? {} : { journal }),
  });
  expect(begun.status, JSON.stringify(begun.body)).toBe(201);
  const { id, partBytes } = importSchema.parse(begun.body);
  for (let at = 0; at < bytes.length; at += partBytes) {
    const part = await post(`${url}api/imports/${id}/part?at=${at}`, bytes.subarray(at, at + partBytes));
    expect(part.status).toBe(200);
  }
  expect((await post(`${url}api/imports/${id}/read`, {})).status).toBe(200);
  return { id, state: await waited(url, id) };
}

async function waited(url: string, id: string): Promise<ImportState> {
  let state: ImportState | undefined;
  await soon(async () => {
    state = importSchema.parse((await get(`${url}api/imports/${id}`)).body).import;
    return state.state;
  }).toMatch(/^(understood|kept|refused)$/);
  return state!;
}

async function imported(url: string, given: Given, name: string): Promise<string> {
  const { id, state } = await sent(url, given);
  expect(state.state).toBe('understood');
  expect((await post(`${url}api/imports/${id}/keep`, { name })).status).toBe(200);
  const kept = await waited(url, id);
  if (kept.state !== 'kept') throw new Error(JSON.stringify(kept));
  await post(`${url}api/imports/${id}/drop`, {});
  return kept.run;
}

async function recordOf(bytes: Uint8Array, format: keyof typeof READERS): Promise<unknown> {
  const { job } = await readPlan(PLAN);
  async function* chunks() {
    yield bytes;
  }
  const record = await recordOfStream(job, [], { name: 'stream', chunks }, (_, as, sink) => READERS[format](as, sink));
  return JSON.parse(JSON.stringify(record));
}

async function samplesOf() {
  const { job } = await readPlan(PLAN);
  const samples: Parameters<typeof csvText>[0][number][] = [];
  const reader = READERS.wits0(job.stream, (sample) => samples.push({ ...sample }));
  reader.push(PART, Number.NaN);
  reader.end();
  return samples;
}

describe('import', () => {
  test('a WITS stream: what was understood is told first, and what is kept counts to the record of the stream', async () => {
    const { url } = await libraryAlone();
    const { id, state } = await sent(url, { file: 'demo.wits', bytes: PART });
    if (state.state !== 'understood') throw new Error(JSON.stringify(state));
    const { understood } = state;
    expect(understood).toMatchObject({ format: 'wits0', plan: { joints: 12 } });
    expect(understood.columns.map(({ feeds }) => feeds)).toContain(CHANNELS.standpipePressure.label);
    expect(understood.columns.find(({ feeds }) => feeds === CHANNELS.hookload.label)!.values).toBeGreaterThan(500);
    expect(understood.toMs).toBeGreaterThan(understood.fromMs);
    expect((await runsOf(url)).runs).toEqual([]);
    expect((await post(`${url}api/imports/${id}/keep`, { name: 'trip 4' })).status).toBe(200);
    const kept = await waited(url, id);
    const { runs, library, present } = await runsOf(url);
    expect({ library, present }).toEqual({ library: 'read', present: null });
    expect(runs).toMatchObject([
      {
        name: 'trip 4',
        source: 'demo.wits',
        imported: true,
        state: 'closed',
        frames: understood.rows,
        samples: understood.samples,
        fromMs: understood.fromMs,
        toMs: understood.toMs,
        checked: null,
      },
    ]);
    expect(kept).toEqual({ state: 'kept', run: runs[0]!.id });
    for (const name of [runs[0]!.id, 'trip%204']) {
      expect((await get(`${url}api/runs/${name}/record`)).body).toEqual(await recordOf(PART, 'wits0'));
    }
  });

  test('CSV with a channel map, LAS 2.0 and WITSML', async () => {
    const { url } = await libraryAlone();
    const samples = await samplesOf();
    const csv = csvText(samples).replace(/Standpipe pressure/i, 'P One');
    const channels = JSON.stringify({
      format: 'jointwise-channels/1',
      channels: { 'P One': { channel: 'standpipePressure', unit: 'kPa' } },
    });
    const forms = [
      { format: 'csv', file: 'trip.csv', text: csv, channels },
      { format: 'las', file: 'trip.las', text: lasText(samples) },
      { format: 'witsml', file: 'trip.xml', text: witsmlText(samples) },
    ];
    for (const { format, file, text, ...more } of forms) {
      const given = { file, bytes: Buffer.from(text), ...more };
      const { id, state } = await sent(url, given);
      if (state.state !== 'understood') throw new Error(`${file}: ${JSON.stringify(state)}`);
      expect(state.understood).toMatchObject({ format, samples: samples.length, fromMs: samples[0]!.sourceMs });
      expect(state.understood.columns.map(({ feeds }) => feeds)).toContain(CHANNELS.standpipePressure.label);
      await post(`${url}api/imports/${id}/drop`, {});
      const run = await imported(url, given, file);
      const { joints } = (await get(`${url}api/runs/${run}/record`)).body as { joints: unknown };
      expect(joints).toEqual(((await recordOf(PART, 'wits0')) as { joints: unknown }).joints);
    }
  });

  test('a journal that comes with it is counted beforehand and becomes the journal of the run', async () => {
    const { url, library } = await libraryAlone();
    const first = (await samplesOf())[0]!.sourceMs;
    const at = (s: number) => new Date(first + s * 1000).toISOString();
    const entries = [
      { at: at(60), by: 'A. Person', action: 'note', text: 'looked at the gauge' },
      { at: at(30), by: 'A. Person', action: 'reject', joint: 'S1', reason: 'torn' },
    ];
    const journal = entries.map((entry) => `${JSON.stringify(entry)}\n`).join('');
    const given = { file: 'demo.wits', bytes: PART, journal };
    const { id, state } = await sent(url, given);
    expect(state).toMatchObject({ state: 'understood', understood: { entries: 2 } });
    await post(`${url}api/imports/${id}/drop`, {});
    const run = await imported(url, given, 'trip');
    const { joints } = (await get(`${url}api/runs/${run}/snapshot`)).body as { joints: { decision?: object }[] };
    expect(joints.flatMap(({ decision }) => decision ?? [])).toMatchObject([{ action: 'reject', reason: 'torn' }]);
    const kept = library.read(run);
    onTestFinished(() => kept.close());
    expect(kept.journal().map(({ entry }) => JSON.parse(entry))).toEqual([entries[1], entries[0]]);
    const begin = (text: string) =>
      post(`${url}api/imports/begin`, { file: 'a', bytes: 5, plan: readFileSync(PLAN, 'utf8'), journal: text });
    expect(errorOf(await begin(`${journal}{"at":"now"}`))).toMatch(/^the journal: line 3: /);
    expect(errorOf(await begin(journal.replace('S1', 'S99')))).toMatch(/^the journal: line 2: joint: found "S99"/);
  });

  test('what cannot be used is refused in one line, and nothing of it stays', async () => {
    const { url, data } = await libraryAlone();
    const begin = (given: object) =>
      post(`${url}api/imports/begin`, { file: 'a.wits', bytes: 10, plan: readFileSync(PLAN, 'utf8'), ...given });
    const refusals: readonly (readonly [object, number, RegExp])[] = [
      [{ plan: '{"format":' }, 400, /^the plan: line 1, column 11: found the end of the file, expected JSON$/],
      [{ plan: '{}' }, 400, /^the plan: format: found nothing, expected "jointwise-plan\/1"$/],
      [{ channels: '[]' }, 400, /^the channel map: the whole: found a list of 0/],
      [{ file: '../a.wits' }, 400, /^file: found "..\/a.wits", expected a name without slashes/],
      [
        { bytes: LIBRARY_LIMITS.importBytes + 1 },
        413,
        /^a\.wits: found 1073741825 bytes, expected at most 1073741824$/,
      ],
      [{ format: 'xls' }, 400, /^format: found "xls", expected one of/],
    ];
    for (const [given, status, line] of refusals) {
      const answer = await begin(given);
      expect([answer.status, errorOf(answer)]).toEqual([status, expect.stringMatching(line)]);
    }
    const bad: readonly (readonly [string, string, RegExp])[] = [
      [
        'shopping.txt',
        'bread, milk, wine and a good deal more of what is no stream',
        /^shopping\.txt: found a format that is not known/,
      ],
      [
        'deep.xml',
        '<!DOCTYPE logs [<!ENTITY a "b">]><logs xmlns="http://www.witsml.org/schemas/1series"></logs>',
        /^deep\.xml: .*(DOCTYPE|document type)/i,
      ],
      ['empty.csv', 'time,hookload (kN)\n', /^empty\.csv: found \d+ bytes without a sample|^empty\.csv: /],
    ];
    for (const [file, text, line] of bad) {
      const { id, state } = await sent(url, { file, bytes: Buffer.from(text) });
      expect(state).toEqual({ state: 'refused', why: expect.stringMatching(line) });
      await post(`${url}api/imports/${id}/drop`, {});
    }
    expect((await runsOf(url)).runs).toEqual([]);
    expect(readdirSync(join(data, 'imports'))).toEqual([]);
  });

  test('parts come in order, no more than was told, and each is bounded', async () => {
    const { url, data } = await libraryAlone();
    const begun = await post(`${url}api/imports/begin`, { file: 'a', bytes: 5, plan: readFileSync(PLAN, 'utf8') });
    const { id } = importSchema.parse(begun.body);
    const part = (at: number, text: string) => post(`${url}api/imports/${id}/part?at=${at}`, Buffer.from(text));
    expect(errorOf(await part(2, 'x'))).toMatch(/^at: found 2, expected 0/);
    expect((await part(0, 'abc')).status).toBe(200);
    expect(errorOf(await part(0, 'abc'))).toMatch(/^at: found 0, expected 3/);
    expect(errorOf(await part(3, 'abc'))).toMatch(/^a: found more than 5 bytes/);
    expect(errorOf(await post(`${url}api/imports/${id}/read`, {}))).toMatch(/^a: found 3 bytes so far, expected 5$/);
    expect(errorOf(await post(`${url}api/imports/${id}/keep`, { name: 'a' }))).toMatch(/found it receiving/);
    const tooLong = await part(3, 'x'.repeat(LIBRARY_LIMITS.partBytes + 1));
    expect(tooLong.status).toBe(413);
    const asJson = await post(`${url}api/imports/${id}/part?at=3`, { bytes: 'de' });
    expect(asJson.status).toBe(415);
    expect(readFileSync(join(data, 'imports', id), 'utf8')).toBe('abc');
    for (const other of ['../runs', '0'.repeat(23), 'x'.repeat(24)]) {
      expect((await get(`${url}api/imports/${encodeURIComponent(other)}`)).status).toBe(400);
    }
    expect((await get(`${url}api/imports/${'0'.repeat(24)}`)).status).toBe(409);
    // Only so many at once.
    for (let i = 0; i < 3; i++)
      await post(`${url}api/imports/begin`, { file: 'b', bytes: 5, plan: readFileSync(PLAN, 'utf8') });
    const oneMore = await post(`${url}api/imports/begin`, { file: 'b', bytes: 5, plan: readFileSync(PLAN, 'utf8') });
    expect(errorOf(oneMore)).toMatch(/^imports: found 4 under way/);
  });

  test('another site imports nothing', async () => {
    const { url } = await libraryAlone();
    const answer = await fetch(`${url}api/imports/begin`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', origin: 'https://elsewhere.example' },
      body: '{}',
    });
    expect(answer.status).toBe(403);
  });
});

/** The bytes of a path as they are: what makes requests elsewhere would tidy them up. */
function rawGet(url: string, path: string): Promise<{ status: number; text: string }> {
  const { port } = new URL(url);
  return new Promise((resolve, reject) => {
    const asked = request({ host: '127.0.0.1', port, path, method: 'GET' }, (answer) => {
      let text = '';
      answer.setEncoding('utf8').on('data', (data) => {
        text += data;
      });
      answer.on('end', () => resolve({ status: answer.statusCode!, text }));
    });
    asked.on('error', reject);
    asked.end();
  });
}

async function takenIn(library: RunLibrary, data: string, name = 'a trip', bytes: Uint8Array = PART): Promise<string> {
  const { text, job } = await readPlan(PLAN);
  async function* chunks() {
    for (let at = 0; at < bytes.length; at += 50_000) yield bytes.subarray(at, at + 50_000);
  }
  const stream = { name: 'demo.wits', chunks };
  const found = await readThrough(stream, job.stream, undefined, () => {});
  const { format } = found;
  return takeIn(library, data, stream, { name, source: 'demo.wits', format, planText: text, journal: [], nowMs });
}

describe('names', () => {
  const STRANGE = [
    '..',
    '../',
    '..%2f',
    '..%2f..%2fetc%2fpasswd',
    '%2e%2e%2f',
    '%2fetc%2fpasswd',
    'C:%5Cwindows',
    '..%5c..%5c',
    'a%00b',
    '%00',
    'nul',
    'CON.txt',
    'com1',
    'x'.repeat(300),
    '%ff',
    'nobody',
    '%20',
    'linked',
    'linked-20310304-000000-abcdef',
  ];
  test('no path, device, control character, symbolic link or long text leads anywhere', async () => {
    const { url, data, library } = await libraryAlone();
    const outside = join(data, '..', 'outside');
    const run = await takenIn(library, data);
    cpSync(join(data, 'runs', run), outside, { recursive: true });
    symlinkSync(outside, join(data, 'runs', 'linked-20310304-000000-abcdef'));
    writeFileSync(join(data, 'secret'), 'SECRET');
    expect((await runsOf(url)).runs.map(({ id }) => id)).toEqual([run]);
    for (const name of STRANGE) {
      for (const what of ['course', 'samples', 'backup', 'record']) {
        const { status, text } = await rawGet(url, `/api/runs/${name}/${what}`);
        expect([name, [400, 404].includes(status)]).toEqual([name, true]);
        expect((JSON.parse(text) as { error: string }).error.split('\n')).toHaveLength(1);
        expect(text).not.toContain('SECRET');
      }
    }
    expect(readdirSync(data)).not.toContain('backups');
  });

  test('a run is called by a name that is none of these', async () => {
    const { url, data, library } = await libraryAlone();
    const run = await takenIn(library, data);
    for (const name of ['', ' ', '../a', '/a', 'a\\b', 'a\u0000b', 'a\nb', '.a', 'nul', 'LPT9.zip', 'x'.repeat(201)]) {
      const answer = await post(`${url}api/runs/${run}/name`, { name });
      expect([name, answer.status, errorOf(answer).startsWith('name: found ')]).toEqual([name, 400, true]);
    }
    expect((await post(`${url}api/runs/${run}/name`, { name: ' Brunnen 7, Fahrt 2 ' })).body).toEqual({
      id: run,
      name: 'Brunnen 7, Fahrt 2',
    });
    expect((await runsOf(url)).runs).toMatchObject([{ id: run, name: 'Brunnen 7, Fahrt 2', state: 'closed' }]);
  });

  test('a name that two have is refused, and says their ids', async () => {
    const { url, data, library } = await libraryAlone();
    const ids = [await takenIn(library, data, 'twice'), await takenIn(library, data, 'twice')];
    const answer = await get(`${url}api/runs/twice/course`);
    expect(answer.status).toBe(404);
    for (const id of ids) expect(errorOf(answer)).toContain(id);
  });
});

describe('a run of the library', () => {
  test('is told as the live one is: course, samples, traces, plan, check, snapshot', async () => {
    const { url, data, library } = await libraryAlone();
    const run = await takenIn(library, data);
    const course = (await get(`${url}api/runs/${run}/course`)).body as { tag: string; plan: object };
    expect(course).toMatchObject({ tag: 'apply', entries: [], plan: (await readPlan(PLAN)).plan });
    for (const what of ['samples', 'traces']) {
      const answer = await fetch(`${url}api/runs/${run}/${what}`);
      expect([answer.status, answer.headers.get('content-type')]).toEqual([200, 'application/octet-stream']);
      expect((await answer.arrayBuffer()).byteLength).toBeGreaterThan(1000);
    }
    const snapshot = snapshotMessageSchema.parse((await get(`${url}api/runs/${run}/snapshot`)).body);
    expect(snapshot.ingest.recording).toMatchObject({ state: 'closed', run, name: 'a trip' });
    expect(snapshot.ingest.leftOut).toBe(undefined);
    expect((await get(`${url}api/runs/${run}/check`)).body).toMatchObject({ format: 'jointwise-check/1' });
  });

  test('is verified; a bit that flipped is named, and the list says so from then on', async () => {
    const { url, data, library } = await libraryAlone();
    const run = await takenIn(library, data);
    const whole = verifiedSchema.parse((await post(`${url}api/runs/${run}/verify`, {})).body);
    expect(whole).toMatchObject({ id: run, whole: true, sealed: true, problemCount: 0 });
    expect((await runsOf(url)).runs[0]!.checked).toMatchObject({ whole: true, problems: 0 });
    const log = join(data, 'runs', run, 'raw-00001.log');
    const bytes = readFileSync(log);
    bytes[200_000]! ^= 4;
    writeFileSync(log, bytes);
    const spoilt = verifiedSchema.parse((await post(`${url}api/runs/${run}/verify`, {})).body);
    expect(spoilt.whole).toBe(false);
    expect(spoilt.problems.join()).toMatch(/raw-00001\.log/);
    expect((await runsOf(url)).runs[0]!.checked).toMatchObject({ whole: false, problems: spoilt.problemCount });
  });

  test('a damaged record is named where the run is shown, with the instants that it lies between', async () => {
    const { url, data, library } = await libraryAlone();
    const run = await takenIn(library, data);
    const shown = async () => snapshotMessageSchema.parse((await get(`${url}api/runs/${run}/snapshot`)).body).ingest;
    const log = join(data, 'runs', run, 'raw-00001.log');
    const bytes = readFileSync(log);
    bytes[200_000]! ^= 4;
    writeFileSync(log, bytes);
    const { leftOut, bytes: given } = await shown();
    // The source is told of in record 1 to 3; a record holds 50,000 bytes of the stream.
    expect(leftOut).toMatchObject({
      count: 1,
      places: [{ line: expect.stringMatching(/^damaged record \d+ left out$/) }],
    });
    const { fromMs, toMs } = leftOut!.places[0]!;
    const stamps: number[] = [];
    const { job } = await readPlan(PLAN);
    const reader = READERS.wits0(job.stream, ({ sourceMs }) => stamps.push(sourceMs));
    const lost = PART.length - given;
    const at = [...Array(Math.ceil(PART.length / 50_000)).keys()].map((n) => n * 50_000).find((n) => n > 150_000)!;
    expect(lost).toBe(50_000);
    reader.push(PART.subarray(0, at - 50_000), Number.NaN);
    const before = stamps.length;
    reader.push(PART.subarray(at), Number.NaN);
    // The frame that is cut in two may give a sample of its own.
    const hole = stamps.findIndex((ms, i) => i >= before && ms - stamps[i - 1]! > 60_000);
    expect([fromMs, toMs]).toEqual([stamps[hole - 1], stamps[hole]]);
    expect(hole - before).toBeLessThan(2);
  });

  test('its backup is a zip that restores to the same hash', async () => {
    const { url, data, library } = await libraryAlone();
    const run = await takenIn(library, data);
    const { hash } = verifiedSchema.parse((await post(`${url}api/runs/${run}/verify`, {})).body);
    const answer = await fetch(`${url}api/runs/${run}/backup`);
    expect(answer.headers.get('content-disposition')).toBe(`attachment; filename="run-${run}.zip"`);
    const folder = join(data, '..', 'unpacked');
    await unpack(Buffer.from(await answer.arrayBuffer()), folder);
    const restored = await restoreRun(nodeDisk, folder, join(data, '..', 'restored'));
    expect(restored).toMatchObject({ hash, whole: true });
    await soon(() => readdirSync(join(data, 'backups'))).toEqual([]);
  });

  test('one that a crash left open is closed and sealed', async () => {
    const data = dataFolder();
    const before = new RunLibrary(data, { nowMs, report });
    const { id, run } = await before.create({ name: 'cut', source: 'rig', plan: readFileSync(PLAN, 'utf8') });
    await run.record(PART, Date.now());
    const image = dataFolder();
    mkdirSync(image, { recursive: true });
    cpSync(join(data, 'runs'), join(image, 'runs'), { recursive: true });
    await before.end();
    const { url } = await libraryAlone(image);
    expect((await runsOf(url)).runs).toMatchObject([{ id, state: 'not closed' }]);
    expect((await post(`${url}api/runs/${id}/close`, {})).body).toEqual({ id, name: 'cut' });
    expect((await runsOf(url)).runs).toMatchObject([{ id, state: 'closed' }]);
  });
});

function unpack(zip: Buffer, folder: string): Promise<void> {
  mkdirSync(folder, { recursive: true });
  return new Promise((resolve, reject) => {
    yauzl.fromBuffer(zip, { lazyEntries: true }, (error, file) => {
      if (error) return reject(error);
      file.on('error', reject);
      file.on('end', () => resolve());
      file.on('entry', (entry) => {
        file.openReadStream(entry, async (fault, stream) => {
          if (fault) return reject(fault);
          const parts: Buffer[] = [];
          for await (const part of stream) parts.push(part as Buffer);
          writeFileSync(join(folder, basename(entry.fileName)), Buffer.concat(parts));
          file.readEntry();
        });
      });
      file.readEntry();
    });
  });
}

test('a library without a rig: what is live is not there, in one line, and nothing can be recorded', async () => {
  const { url, data, library } = await libraryAlone();
  const run = await takenIn(library, data);
  expect((await get(`${url}health`)).body).toMatchObject({ status: 'library only', run: '' });
  for (const what of ['plan', 'record', 'course', 'ingest', 'check', 'traces']) {
    const answer = await get(`${url}api/${what}`);
    expect([what, answer.status, errorOf(answer)]).toEqual([what, 404, expect.stringMatching(/^there is no live run/)]);
  }
  for (const order of [`runs/start`, `runs/${run}/reopen`]) {
    const answer = await post(`${url}api/${order}`, order === 'runs/start' ? { name: 'x' } : {});
    expect([answer.status, errorOf(answer)]).toEqual([409, expect.stringMatching(/^the library: found no source/)]);
  }
  const socket = new WebSocket(`${url.replace('http', 'ws')}live`);
  const [error] = (await once(socket, 'error')) as [Error];
  expect(error.message).toContain('404');
});

interface Rig {
  readonly port: number;
  send(bytes: Uint8Array): void;
  readonly connected: () => number;
}

async function rig(): Promise<Rig> {
  const sockets = new Set<Socket>();
  const server = createServer((socket) => {
    sockets.add(socket);
    socket.on('error', () => {});
    socket.on('close', () => sockets.delete(socket));
  }).listen(0, '127.0.0.1');
  await once(server, 'listening');
  closers.push(() => {
    for (const socket of sockets) socket.destroy();
    server.close();
  });
  return {
    port: (server.address() as AddressInfo).port,
    send: (bytes) => {
      for (const socket of sockets) socket.write(bytes);
    },
    connected: () => sockets.size,
  };
}

async function recording(): Promise<Served & { rig: Rig }> {
  const data = dataFolder();
  const at = await rig();
  const library = new RunLibrary(data, { nowMs, report });
  const source: KeptSource = { kind: 'source', name: 'the rig', format: 'wits0', arrival: 'clock', tag: 'offer' };
  const opening: OpenRecordingOptions = {
    library,
    data,
    source,
    createReader: READERS.wits0,
    clock: systemClock,
    report,
  };
  const opened = await beginRecording(opening, 'first', await readPlan(PLAN));
  const service = await startService({
    ...opened.plan,
    name: 'first',
    rate: 1,
    clock: systemClock,
    source: tcpClientSource({ host: '127.0.0.1', port: at.port }, systemClock),
    createReader: READERS.wits0,
    recording: opened.parts,
    earlierBytes: opened.earlierBytes,
    inLibrary: { id: opened.id, opening },
    host: '127.0.0.1',
    port: 0,
    allowedOrigins: [],
  });
  closers.push(async () => {
    await service.close();
    await library.end();
  });
  await service.live.start();
  await vi.waitUntil(() => at.connected() === 1, { timeout: 10_000 });
  return { url: service.url, data, library, rig: at };
}

/** Up to a packet's end. */
const cut = (at: number): number => STREAM.indexOf('&&', at);

describe('recording', () => {
  const framesOf = async (url: string) => ((await get(`${url}api/ingest`)).body as { frames: number }).frames;
  const countOf = (bytes: Uint8Array) => Buffer.from(bytes).toString('latin1').split('&&').length - 1;

  test('begun, closed, reopened: every byte is in one run, and the reopened one counts as if it had never stopped', async () => {
    const { url, rig } = await recording();
    const [a, b, c] = [cut(150_000), cut(300_000), cut(400_000)];
    rig.send(STREAM.subarray(0, a));
    await soon(() => framesOf(url)).toBe(countOf(STREAM.subarray(0, a)));
    const first = (await runsOf(url)).present!;
    const begun = await post(`${url}api/runs/start`, { name: 'second' });
    expect(begun.status).toBe(201);
    const { id: second } = begun.body as { id: string };
    expect(await runsOf(url)).toMatchObject({
      library: 'record',
      present: second,
      runs: [
        { id: second, name: 'second', state: 'recording' },
        { id: first, name: 'first', state: 'closed' },
      ],
    });
    rig.send(STREAM.subarray(a, b));
    await soon(() => framesOf(url)).toBe(countOf(STREAM.subarray(a, b)));
    expect((await post(`${url}api/runs/${first}/reopen`, {})).body).toEqual({ id: first, name: 'first' });
    rig.send(STREAM.subarray(b, c));
    await soon(() => framesOf(url)).toBe(countOf(STREAM.subarray(0, a)) + countOf(STREAM.subarray(b, c)));
    expect(errorOf(await post(`${url}api/runs/${first}/reopen`, {}))).toMatch(/found it open already/);
    const seen = (await get(`${url}api/record`)).body as object;
    expect((await post(`${url}api/runs/${first}/close`, {})).status).toBe(200);
    expect(((await get(`${url}api/ingest`)).body as { recording: object }).recording).toMatchObject({
      state: 'closed',
      name: 'first',
    });
    rig.send(STREAM.subarray(c, c + 50_000));
    // What was seen is what is kept; the record of the closed run is read from the present one, then from the log.
    expect((await get(`${url}api/record`)).body).toEqual(seen);
    await post(`${url}api/runs/${second}/reopen`, {});
    expect((await get(`${url}api/runs/${first}/record`)).body).toEqual(
      await recordOf(Buffer.concat([STREAM.subarray(0, a), STREAM.subarray(b, c)]), 'wits0'),
    );
    for (const id of [first, second]) {
      expect(verifiedSchema.parse((await post(`${url}api/runs/${id}/verify`, {})).body)).toMatchObject({ whole: true });
    }
  });

  test('nothing is entered into a closed run; a new name is told to who watches', async () => {
    const { url, rig } = await recording();
    rig.send(STREAM.subarray(0, cut(100_000)));
    await soon(() => framesOf(url)).toBeGreaterThan(10);
    const { present } = await runsOf(url);
    await post(`${url}api/runs/${present}/name`, { name: 'renamed' });
    expect(((await get(`${url}api/ingest`)).body as { recording: object }).recording).toMatchObject({
      name: 'renamed',
    });
    const note = { action: 'note', by: 'me', text: 'seen' };
    expect((await post(`${url}api/journal`, note)).status).toBe(201);
    await post(`${url}api/runs/${present}/close`, {});
    const refused = await post(`${url}api/journal`, note);
    expect([refused.status, errorOf(refused)]).toEqual([409, expect.stringMatching(/^run renamed: found it closed/)]);
  });

  test('what is said of a run after it was closed is in it: a verdict, a signature; it goes on when it is reopened', async () => {
    const { url, rig } = await recording();
    rig.send(STREAM.subarray(0, cut(200_000)));
    await soon(() => framesOf(url)).toBeGreaterThan(10);
    const { present } = await runsOf(url);
    await post(`${url}api/runs/${present}/close`, {});
    const anna = { name: 'Anna Berg', secret: 'seven green bottles' };
    await post(`${url}api/people`, { ...anna, role: 'company man' });
    const verdict = { action: 'reject', by: anna.name, joint: 'Z1', reason: 'to be looked at' };
    expect(await post(`${url}api/journal`, verdict)).toMatchObject({ status: 201, body: { kept: 'run' } });
    const { hash } = (await get(`${url}api/signed-text?subject=record`)).body as { hash: string };
    expect((await post(`${url}api/sign`, { ...anna, subject: 'record', hash })).status).toBe(201);
    const whole = verifiedSchema.parse((await post(`${url}api/runs/${present}/verify`, {})).body);
    expect(whole).toMatchObject({ whole: true, sealed: true });
    expect((await post(`${url}api/runs/${present}/reopen`, {})).status).toBe(200);
    const before = await framesOf(url);
    rig.send(STREAM.subarray(cut(200_000), cut(300_000)));
    await soon(() => framesOf(url)).toBeGreaterThan(before);
    // What came later belongs to another version of the record: that is said, and by what.
    expect((await get(`${url}api/signatures`)).body).toMatchObject({
      signatures: [{ subject: 'record', by: anna.name, holds: { kind: 'broken', cause: { kind: 'readings' } } }],
    });
    const { joints } = (await get(`${url}api/record`)).body as RunRecord;
    expect(joints.find(({ name }) => name === 'Z1')!.decision).toMatchObject({ action: 'reject', by: anna.name });
  });

  test('an imported run is not recorded on', async () => {
    const { url, data, library } = await recording();
    const run = await takenIn(library, data);
    const before = library.list().find(({ id }) => id === run);
    const refused = await post(`${url}api/runs/${run}/reopen`, {});
    expect(library.list().find(({ id }) => id === run)).toEqual(before);
    expect([refused.status, errorOf(refused)]).toEqual([
      409,
      expect.stringMatching(/time of arrival: found "clock", expected "none"/),
    ]);
    expect((await runsOf(url)).runs.find(({ id }) => id === run)).toMatchObject({ state: 'closed' });
    expect((await runsOf(url)).runs.find(({ name }) => name === 'first')).toMatchObject({ state: 'recording' });
  });
});
