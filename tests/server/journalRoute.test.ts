/** What is entered on the page: over a real port, into a real file, into a run that goes on. */
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { type AddressInfo, createServer, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { systemClock } from '../../ingest/clock.ts';
import { tcpClientSource } from '../../ingest/tcpClientSource.ts';
import { recordOfStream } from '../../server/cli/recordOfStream.ts';
import { JournalFile } from '../../server/journalFile.ts';
import { readJournal } from '../../server/plan/readJournal.ts';
import { readPlan } from '../../server/plan/readPlan.ts';
import { READERS } from '../../server/readers.ts';
import { type Service, startService } from '../../server/service.ts';
import { type Entered, enteredSchema, type JournalEntry, POSTED_LIMITS } from '../../src/journal/journalSchema.ts';
import { snapshotMessageSchema } from '../../src/live/messages.ts';
import { LivePage } from '../support/livePage.ts';

const PLAN = 'replay-data/demo-plan.json';
const STREAM = 'replay-data/demo.wits';
const NOTE = { by: 'A. Person', action: 'note', text: 'seen' };

let folder: string;
const closers: (() => unknown)[] = [];
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'jointwise-journal-'));
});
afterEach(async () => {
  for (const close of closers.splice(0).reverse()) await close();
  await rm(folder, { recursive: true });
});

interface LiveRig {
  readonly at: Service;
  /** Sends the packets from..to of the demo stream, and waits until the run has worked them. */
  readonly send: (from: number, to: number) => Promise<void>;
  /** Sends them, and waits for nothing. */
  readonly throwIn: (from: number, to: number) => void;
}

type Keep = (entry: JournalEntry) => Promise<void>;

async function liveRig(file?: string, keep?: Keep): Promise<LiveRig> {
  const sockets = new Set<Socket>();
  const server = createServer((socket) => {
    sockets.add(socket);
    socket.on('error', () => socket.destroy());
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  closers.push(() => {
    for (const socket of sockets) socket.destroy();
    server.close();
  });
  const { port } = server.address() as AddressInfo;
  const journalFile = file === undefined ? undefined : new JournalFile(file);
  const at = await startService({
    ...(await readPlan(PLAN)),
    name: 'test run',
    rate: 1,
    clock: systemClock,
    source: tcpClientSource({ host: '127.0.0.1', port }, systemClock),
    createReader: READERS.wits0,
    host: '127.0.0.1',
    port: 0,
    allowedOrigins: [],
    ...(journalFile ? { keepEntry: (entry) => journalFile.append(entry) } : keep ? { keepEntry: keep } : {}),
  });
  closers.push(async () => {
    await at.close();
    await journalFile?.close();
  });
  await at.live.start();
  await expect.poll(() => sockets.size).toBe(1);
  const packets = (await readFile(STREAM, 'latin1')).split(/(?<=!!\r?\n)/);
  const throwIn = (from: number, to: number) => {
    for (const socket of sockets) socket.write(packets.slice(from, to).join(''), 'latin1');
  };
  const send = async (from: number, to: number) => {
    throwIn(from, to);
    await expect.poll(() => at.live.ingest().samples, { timeout: 20_000 }).toBe(to);
  };
  return { at, send, throwIn };
}

const post = (at: Service, body: unknown, headers: Record<string, string> = {}): Promise<Response> =>
  fetch(`${at.url}api/journal`, {
    method: 'POST',
    headers: { 'content-type': 'application/json', ...headers },
    body: typeof body === 'string' ? body : JSON.stringify(body),
  });
const errorOf = async (answer: Response): Promise<string> => ((await answer.json()) as { error: string }).error;
const entered = async (answer: Response): Promise<Entered> => enteredSchema.parse(await answer.json());
const toolDepth = (at: Service): number => at.live.snapshot(0).now!.toolDepths[0]!;

test('a depth that is set moves the run, stands in the file, and the record worked out again from both is the same', async () => {
  const file = join(folder, 'journal.jsonl');
  // What was there is kept, also where its last line has no end.
  await writeFile(file, JSON.stringify({ at: '2001-01-01T00:00:00Z', ...NOTE }));
  const { at, send } = await liveRig(file);
  await send(0, 400);
  const before = toolDepth(at);
  const depth = Number((before + 1.8).toFixed(3));
  const answer = await post(at, { by: ' A. Person ', action: 'set depth', tool: 'upper', depth });
  expect(answer.status).toBe(201);
  const { entry, effect, kept } = await entered(answer);
  expect(kept).toBe('file');
  expect(effect).toMatch(/depth moved by 1\.80 m/);
  expect(entry).toMatchObject({ by: 'A. Person', tool: 'upper', depth });
  await send(400, 700);
  expect(at.live.snapshot(0).now!.depthCorrection).toBeCloseTo(depth - before, 2);
  expect((await post(at, { ...NOTE, at: '2001-01-01T00:00:00Z' })).status).toBe(201);
  await send(700, 900);

  const { plan, job } = await readPlan(PLAN);
  const journal = await readJournal(file, plan);
  expect(journal.map(({ action }) => action)).toEqual(['note', 'set depth', 'note']);
  // An instant that came along is replaced by the rig's.
  expect(journal[2]!.at > journal[1]!.at && journal[1]!.at > '2020').toBe(true);
  const live = at.live.record()!;
  const packets = (await readFile(STREAM, 'latin1')).split(/(?<=!!\r?\n)/).slice(0, 900);
  async function* chunks() {
    yield Buffer.from(packets.join(''), 'latin1');
  }
  const again = await recordOfStream(job, journal.slice(1), { name: STREAM, chunks }, (_head, as, sink) =>
    READERS.wits0(as, sink),
  );
  expect(JSON.stringify(again.joints)).toBe(JSON.stringify(live.joints));
  expect(JSON.stringify(again.phases)).toBe(JSON.stringify(live.phases));
});

test('many entries at once, while samples come in, each become one line, in order', async () => {
  const file = join(folder, 'journal.jsonl');
  const { at, send } = await liveRig(file);
  await send(0, 50);
  const texts = Array.from({ length: 20 }, (_, i) => `note ${i}`);
  const sent = send(50, 400);
  const answers = await Promise.all(texts.map((text) => post(at, { ...NOTE, text })));
  await sent;
  expect(answers.map(({ status }) => status)).toEqual(texts.map(() => 201));
  const lines = (await readFile(file, 'utf8')).trimEnd().split('\n');
  const kept = lines.map((line) => JSON.parse(line) as { text: string; at: string });
  expect(kept.map(({ text }) => text).sort()).toEqual([...texts].sort());
  expect(kept.map((entry) => entry.at)).toEqual(kept.map((entry) => entry.at).sort());
});

test('while an entry is being kept no sample is worked: it takes effect where its instant says', async () => {
  let kept = (): void => {};
  const disk = new Promise<void>((resolve) => {
    kept = resolve;
  });
  const asked: JournalEntry[] = [];
  const { at, send, throwIn } = await liveRig(undefined, (entry) => {
    asked.push(entry);
    return disk;
  });
  await send(0, 300);
  const newestMs = at.live.snapshot(0).now!.sourceMs;
  const answer = post(at, { by: 'A. Person', action: 'set depth', tool: 'upper', depth: toolDepth(at) + 1 });
  await expect.poll(() => asked.length).toBe(1);
  throwIn(300, 400);
  // The bytes are there and wait in the queue: a hello on the same port has been answered since.
  for (let time = 0; time < 5; time++) await fetch(`${at.url}health`);
  expect(at.live.ingest().samples).toBe(300);
  kept();
  const { entry } = await entered(await answer);
  expect(Date.parse(entry.at)).toBe(newestMs + 1);
  await expect.poll(() => at.live.ingest().samples).toBe(400);
  expect(at.live.snapshot(0).now!.depthCorrection).toBeCloseTo(1, 1);
});

test('without a file an entry is kept in memory, and said to be', async () => {
  const { at, send } = await liveRig();
  await send(0, 20);
  expect(await entered(await post(at, NOTE))).toMatchObject({ kept: 'memory', effect: 'seen' });
});

test('a file that cannot be written: one line says so, and nothing is entered', async () => {
  const { at, send } = await liveRig(folder);
  await send(0, 100);
  const before = toolDepth(at);
  const answer = await post(at, { by: 'A. Person', action: 'set depth', tool: 'upper', depth: before + 5 });
  expect(answer.status).toBe(500);
  expect(await errorOf(answer)).toBe(`${folder}: found EISDIR, expected to add a line`);
  await send(100, 150);
  expect(at.live.snapshot(0).now!.depthCorrection).toBe(0);
});

test('before the first sample nothing can be entered', async () => {
  const { at } = await liveRig();
  const answer = await post(at, NOTE);
  expect(answer.status).toBe(409);
  expect(await errorOf(answer)).toBe('the entry: found no sample yet, expected a run');
});

test('a page that is not ours enters nothing; neither does one that does not say that it sends JSON', async () => {
  const { at, send } = await liveRig();
  await send(0, 20);
  for (const origin of ['http://evil.example', 'null', `http://127.0.0.1:${at.port}.evil.example`]) {
    const answer = await post(at, NOTE, { origin });
    expect(answer.status, origin).toBe(403);
    expect(answer.headers.get('access-control-allow-origin')).toBeNull();
  }
  expect((await post(at, NOTE, { origin: at.url.slice(0, -1) })).status).toBe(201);
  for (const type of ['text/plain', 'application/x-www-form-urlencoded', 'multipart/form-data; boundary=x']) {
    expect((await post(at, NOTE, { 'content-type': type })).status, type).toBe(415);
  }
  // A page elsewhere must ask before it may send JSON, and is refused.
  expect((await fetch(`${at.url}api/journal`, { method: 'OPTIONS' })).status).toBe(405);
  expect((await fetch(`${at.url}api/journal`)).headers.get('allow')).toBe('POST');
  expect(at.live.record()!.journal?.length ?? 1).toBe(1);
});

const BAD: readonly (readonly [body: unknown, line: RegExp])[] = [
  ['{"by":', /^the body: line 1, column 7: found the end of the file, expected JSON$/],
  ['', /./],
  [[], /^action: found nothing|^the whole: found a list/],
  [{ ...NOTE, by: '  ' }, /^by: found "\s*", expected at least 1 characters$/],
  [{ ...NOTE, text: 7 }, /^text: found 7, expected a value of type string$/],
  [{ ...NOTE, text: 'x'.repeat(4001) }, /^text: found "x+…, expected at most 4000 characters$/],
  [
    { by: 'a', action: 'change plan', plan: {}, reason: 'b' },
    /^plan\.format: found nothing, expected "jointwise-plan\/1"$/,
  ],
  [{ by: 'a', action: 'accept', joint: 'S1' }, /^reason: found nothing, expected a value of type string$/],
  [{ by: 'a', action: 'reject', joint: 'S1', reason: ' ' }, /^reason: found "\s*", expected at least 1 characters$/],
  [{ by: 'a', action: 'accept', joint: 'X9', reason: 'b' }, /^joint: found "X9", expected one of HG, /],
  [{ by: 'a', action: 'set depth', tool: 'other', depth: 2400 }, /^tool: found "other", expected one of upper, lower$/],
  [{ by: 'a', action: 'drop ball', ball: 'other' }, /^ball: found "other", expected one of /],
  [{ by: 'a', action: 'set depth', tool: 'upper', depth: '2400' }, /^depth: found "2400", expected a value of type/],
  [
    { by: 'a', action: 'set depth', tool: 'upper', depth: 1e9 },
    /^depth: found 1000000000, expected a depth between 0 and 15000 m$/,
  ],
];
test('an entry that cannot be meant is refused in one line that names the place', async () => {
  const { at, send } = await liveRig();
  await send(0, 20);
  for (const [body, line] of BAD) {
    const answer = await post(at, body);
    expect(answer.status, JSON.stringify(body)).toBe(400);
    const error = await errorOf(answer);
    expect(error).toMatch(line);
    expect(error).not.toContain('\n');
  }
});

test('a joint is accepted, and a new plan comes into force, each with its reason', async () => {
  const { at, send } = await liveRig();
  await send(0, 20);
  const accepted = await entered(await post(at, { by: 'a', action: 'accept', joint: 'S1', reason: 'seen on the log' }));
  expect(accepted.effect).toBe('S1: seen on the log');
  const plan = { ...at.live.plan, acceptance: { coverage: 0.5, longestGap: 1 } };
  const changed = await entered(await post(at, { by: 'a', action: 'change plan', plan, reason: 'agreed by phone' }));
  expect(changed).toMatchObject({ effect: 'new plan in force', entry: { reason: 'agreed by phone' } });
  expect(at.live.plan.acceptance).toEqual({ coverage: 0.5, longestGap: 1 });
  const doubled = { ...plan, tools: [...plan.tools, ...plan.tools] };
  const refused = await post(at, { by: 'a', action: 'change plan', plan: doubled, reason: 'a slip' });
  expect(refused.status).toBe(400);
  expect(await errorOf(refused)).toMatch(/^plan\.tools/);
});

test('an entry that is too long is refused before it is read whole', async () => {
  const { at, send } = await liveRig();
  await send(0, 20);
  const answer = await post(at, { ...NOTE, text: 'x'.repeat(POSTED_LIMITS.bytes) });
  expect(answer.status).toBe(413);
  expect(await errorOf(answer)).toBe('the body is longer than may be');
});

test('a note is edited and taken back by entries that name it; every page is told each as it is entered', async () => {
  const { at, send } = await liveRig();
  await send(0, 20);
  const page = await LivePage.open(`${at.url.replace('http', 'ws')}live`);
  page.hello();
  await page.until((got) => got.length === 1);
  const enter = (over: object) => post(at, { ...NOTE, ...over });
  expect((await enter({ id: 'a', depth: 2455.5 })).status).toBe(201);
  // Two at the same time follow the same one.
  const both = await Promise.all([enter({ id: 'b', edits: ['a'] }), enter({ id: 'c', edits: ['a'] })]);
  expect(both.map(({ status }) => status)).toEqual([201, 201]);
  expect((await enter({ text: '', id: 'd', edits: ['b', 'c'], takenBack: true })).status).toBe(201);
  const told = () => page.deltas().flatMap(({ lines }) => lines ?? []);
  await page.until(() => told().length === 4);
  expect(told().map(({ number, note }) => `${number} ${note!.id} ${note!.edits}`)).toEqual([
    '0 a ',
    '1 b a',
    '2 c a',
    '3 d b,c',
  ]);
  expect(told()[0]!.note).toMatchObject({ depth: 2455.5, takenBack: false });
  const late = await LivePage.open(`${at.url.replace('http', 'ws')}live`);
  late.hello();
  const [snapshot] = await late.until((got) => got.length === 1);
  expect(snapshotMessageSchema.parse(snapshot).journal).toEqual({ lines: told(), leftOut: 0, notesLeftOut: 0 });
  for (const [over, says] of [
    [{ id: 'a' }, /^id: found a, which is entered already/],
    [{ edits: ['x'] }, /^edits: found x, expected a note of this run$/],
  ] as const) {
    const refused = await enter(over);
    expect(refused.status).toBe(409);
    expect(await errorOf(refused)).toMatch(says);
  }
  for (const over of [{ joint: 'X9' }, { depth: -1 }, { id: 'A!' }, { edits: [] }])
    expect((await enter(over)).status).toBe(400);
  page.close();
  late.close();
});

test('well control is not acknowledged without a word', async () => {
  const { at, send } = await liveRig();
  await send(0, 20);
  const gain = { by: 'a', action: 'acknowledge', event: { kind: 'gain' } };
  for (const more of [{}, { reason: '  ' }]) {
    const refused = await post(at, { ...gain, ...more });
    expect(refused.status).toBe(400);
    expect(await errorOf(refused)).toMatch(/^reason: found nothing, expected what was found or done: gain/);
  }
  expect((await post(at, { ...gain, reason: 'flow check: static' })).status).toBe(201);
  expect((await post(at, { ...gain, event: 'stall' })).status).toBe(201);
});
