import { once } from 'node:events';
import type { AddressInfo } from 'node:net';
import { createServer } from 'node:net';
import { afterEach, expect, test } from 'vitest';
import { VERBS } from '../../server/cli/main.ts';
import { PUBLISHED } from '../../server/cli/schema.ts';
import { LivePage } from '../support/livePage.ts';
import { type Program, run, start } from '../support/program.ts';

const PLAN = 'replay-data/demo-plan.json';
const STREAM = 'replay-data/demo.wits';
const VERB_NAMES = [...Object.keys(VERBS), 'help'].join(', ');
const lineOf = (text: string) => ({ test: (said: string) => said === text });

let programs: Program[] = [];
const closers: (() => void)[] = [];
afterEach(async () => {
  for (const { child } of programs) child.kill('SIGKILL');
  await Promise.all(programs.map(({ ended }) => ended));
  programs = [];
  for (const close of closers.splice(0)) close();
});

function started(args: readonly string[]): Program {
  const program = start(args);
  programs.push(program);
  return program;
}

const urlOf = (line: string) => /^jointwise: (http:\/\/[\w.:]+\/)/.exec(line)![1]!;

async function takenPort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  closers.push(() => server.close());
  return (server.address() as AddressInfo).port;
}

/** A port that nobody listens on: one that was free a moment ago. */
async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo;
  await new Promise((resolve) => server.close(resolve));
  return port;
}

test('simulate and serve together: a page sees the run; both stop cleanly', async () => {
  const rig = started(['simulate', '--port', '0', '--speed', '200', '--start-at', '1500']);
  const port = /:(\d+) at 200×$/.exec(await rig.firstLine)![1];
  const service = started(['serve', '--plan', PLAN, '--connect', `127.0.0.1:${port}`, '--port', '0', '--rate', '200']);
  const url = urlOf(await service.firstLine);
  const page = await LivePage.open(`${url.replace('http', 'ws')}live`, { origin: url.slice(0, -1) });
  page.hello();
  await page.until(() => page.deltas().some(({ now }) => now !== undefined));
  expect(page.got[0]).toMatchObject({ type: 'snapshot', clock: { rate: 200 } });
  expect((await fetch(url)).headers.get('content-type')).toMatch(/^text\/html/);
  service.child.kill('SIGTERM');
  expect(await service.ended).toMatchObject({ code: 0, err: '' });
  expect(await page.closed).toBe(1001);
  rig.child.kill('SIGINT');
  expect(await rig.ended).toMatchObject({ code: 0, err: '' });
});

test('the demo prints one address and serves a page and a moving run there', async () => {
  const demo = started(['demo', '--port', '0']);
  const line = await demo.firstLine;
  expect(line).toMatch(/^jointwise: http:\/\/127\.0\.0\.1:\d+\/ {2}\(demo at 20×\)$/);
  const url = urlOf(line);
  const page = await LivePage.open(`${url.replace('http', 'ws')}live`);
  page.hello();
  await page.until(() => page.deltas().filter(({ now }) => now !== undefined).length >= 3);
  const moments = page.deltas().flatMap(({ now }) => (now ? [now.sourceMs] : []));
  expect(moments.at(-1)).toBeGreaterThan(moments[0]!);
  demo.child.kill('SIGINT');
  const { code, out, err } = await demo.ended;
  expect([code, out, err]).toEqual([0, `${line}\n`, '']);
});

test('a port in use: one line, exit code 1', async () => {
  const port = String(await takenPort());
  const table = [
    ['serve', '--plan', PLAN, '--listen', '0', '--port', port],
    ['serve', '--plan', PLAN, '--listen', port, '--port', '0'],
    ['simulate', '--port', port],
    ['demo', '--port', port],
  ];
  for (const args of table) {
    const { code, out, err } = await run(args);
    expect([args.join(' '), code, out]).toEqual([args.join(' '), 1, '']);
    expect(err).toMatch(new RegExp(`^.*${port}.*(in use|taken), expected a free (one|port).*\\n$`));
  }
});

test('a source that cannot be reached: one line, exit code 1; with --wait it is waited for', async () => {
  const port = await freePort();
  const args = ['serve', '--plan', PLAN, '--connect', `127.0.0.1:${port}`, '--port', '0'];
  const { code, out, err } = await run(args);
  expect([code, out]).toEqual([1, '']);
  expect(err).toMatch(new RegExp(`^tcp://127\\.0\\.0\\.1:${port}: found .*ECONNREFUSED.*, expected a stream.*\\n$`));
  const waiting = started([...args, '--wait']);
  const health = await (await fetch(`${urlOf(await waiting.firstLine)}health`)).json();
  expect(health).toMatchObject({ status: 'no source' });
});

test('a recorded stream is served to its end', async () => {
  const service = started(['serve', '--plan', PLAN, '--in', STREAM, '--port', '0']);
  const url = urlOf(await service.firstLine);
  const ingest = async () => (await (await fetch(`${url}api/ingest`)).json()) as { link: string; samples: number };
  await expect.poll(ingest, { timeout: 20_000 }).toMatchObject({ link: 'ended', samples: 5476 });
  const served = await (await fetch(`${url}api/record`)).json();
  const analysed = await run(['analyse', '--plan', PLAN, '--in', STREAM]);
  expect(JSON.stringify(served)).toBe(JSON.stringify(JSON.parse(analysed.out)));
});

test.each([
  // options | exit code | line on standard error
  [
    'serve --plan PLAN',
    2,
    /^serve: found no source, expected one of --connect, --listen, --in, or --data alone to look at a library$/,
  ],
  ['serve --plan PLAN --listen 0 --in x', 2, /^serve: found --listen and --in, expected one of/],
  ['serve --plan PLAN --connect nowhere', 2, /^--connect: found "nowhere", expected HOST:PORT$/],
  ['serve --plan PLAN --connect a:70000', 2, /^--connect: found "a:70000", expected HOST:PORT$/],
  ['serve --plan PLAN --listen 0 --port http', 2, /^--port: found "http", expected a number from 0 to 65535$/],
  ['serve --plan PLAN --listen 0 --poll 0', 2, /^--poll: found "0", expected a number from 1 to 3600$/],
  [
    'serve --plan PLAN --in STREAM --poll 5',
    2,
    /^--poll: found it with --in, expected a rig on --connect or --listen$/,
  ],
  ['serve --plan PLAN --listen 0 --poll-payload 01111', 2, /^--poll-payload: found it without --poll, expected --poll/],
  ['serve --plan PLAN --listen 0 --poll 5 --poll-payload', 2, /^--poll-payload: found no value, expected one$/],
  [
    'serve --plan PLAN --listen 0 --poll 5 --poll-payload 01111 --poll-payload hello',
    2,
    /^--poll-payload: found "hello", expected a four-digit item code and its value in printable ASCII$/,
  ],
  ['serve --plan PLAN --listen 0 --pace 5', 2, /^--pace: found it without --in/],
  [
    'serve --plan PLAN --listen 0 --port 0 --allow-origin *',
    2,
    /^--allow-origin: found "\*", expected one such as https/,
  ],
  [
    'serve --plan PLAN --listen 0 --port 0 --host 203.0.113.7',
    2,
    /^--host: found "203\.0\.113\.7", expected an address of this machine$/,
  ],
  ['serve --plan none.json --listen 0', 2, /^none\.json: found no such file, expected a plan$/],
  ['serve --plan PLAN --in none.wits', 2, /^none\.wits: found no such file, expected a recorded stream$/],
  [
    'serve --plan PLAN --in package.json',
    2,
    /^package\.json: found a format that is not known, expected one of wits0, csv, las, witsml$/,
  ],
  [
    'simulate --scenario PLAN',
    2,
    /demo-plan\.json: format: found "jointwise-plan\/1", expected "jointwise-scenario\/1"$/,
  ],
  ['simulate --speed 0', 2, /^--speed: found "0", expected a number from 0\.001 to/],
  [
    'schema --of everything',
    2,
    lineOf(`--of: found "everything", expected one of ${Object.keys(PUBLISHED).join(', ')}`),
  ],
  ['paint', 2, lineOf(`jointwise: found "paint", expected one of ${VERB_NAMES}`)],
  ['', 2, lineOf(`jointwise: found no verb, expected one of ${VERB_NAMES}`)],
])('jointwise %s', async (words, code, line) => {
  const args = words
    .split(' ')
    .filter(Boolean)
    .map((word) => ({ PLAN, STREAM })[word] ?? word);
  const ended = await run(args);
  expect([ended.code, ended.out]).toEqual([code, '']);
  expect(
    ended.err.split('\n').find((said) => line.test(said)),
    ended.err,
  ).toBeDefined();
});
