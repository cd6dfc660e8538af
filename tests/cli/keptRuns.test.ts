/** Runs that are kept: the built program on a data folder, killed, restarted, verified, copied and worked through again. */
import { once } from 'node:events';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { type AddressInfo, createServer, type Server, type Socket } from 'node:net';
import { hostname, tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { readRun } from '../../server/keep/runLibrary.ts';
import type { RecordingState } from '../../src/live/messages.ts';
import { type Program, run, start } from '../support/program.ts';

// A loaded machine: what takes seconds alone may take a minute.
vi.setConfig({ testTimeout: 180_000, hookTimeout: 180_000 });
const PATIENCE_MS = 120_000;

const PLAN = 'replay-data/demo-plan.json';
const BYTES = readFileSync('replay-data/demo.wits').subarray(0, 500_000);

let data: string;
let programs: Program[] = [];
const closers: (() => void)[] = [];
beforeEach(() => {
  data = join(mkdtempSync(join(tmpdir(), 'jointwise-data-')), 'data');
});
afterEach(async () => {
  for (const { child } of programs) child.kill('SIGKILL');
  await Promise.all(programs.map(({ ended }) => ended));
  programs = [];
  for (const close of closers.splice(0)) close();
  rmSync(join(data, '..'), { recursive: true, force: true });
});

interface Rig {
  readonly port: number;
  send(from: number, to: number): Promise<void>;
}

/** Sends what it is told to whoever is connected. */
async function rig(): Promise<Rig> {
  const sockets = new Set<Socket>();
  const server: Server = createServer((socket) => {
    sockets.add(socket);
    socket.on('error', () => {});
    socket.on('close', () => sockets.delete(socket));
  }).listen(0, '127.0.0.1');
  await once(server, 'listening');
  closers.push(() => {
    for (const socket of sockets) socket.destroy();
    server.close();
  });
  const send = async (from: number, to: number) => {
    await expect.poll(() => sockets.size, { timeout: PATIENCE_MS }).toBe(1);
    for (const socket of sockets) socket.write(BYTES.subarray(from, to));
  };
  return { port: (server.address() as AddressInfo).port, send };
}

interface Served extends Program {
  readonly url: string;
}

async function serve(port: number, more: readonly string[]): Promise<Served> {
  const program = start(['serve', '--connect', `127.0.0.1:${port}`, '--port', '0', ...more]);
  programs.push(program);
  const url = /^jointwise: (http:\/\/[\w.:]+\/)/.exec(await program.firstLine)![1]!;
  return { ...program, url };
}

interface Counts {
  readonly bytes: number;
  readonly recording: RecordingState;
}
const counts = async (url: string): Promise<Counts> => (await (await fetch(`${url}api/ingest`)).json()) as Counts;
const record = async (url: string): Promise<string> => (await fetch(`${url}api/record`)).text();

async function taken(url: string, bytes: number): Promise<void> {
  await expect.poll(async () => (await counts(url)).bytes, { timeout: PATIENCE_MS }).toBe(bytes);
}

async function killed({ child, ended }: Program): Promise<void> {
  child.kill('SIGKILL');
  await ended;
}

const onlyRun = (): string => readdirSync(join(data, 'runs'))[0]!;

function bytesKept(): number {
  const kept = readRun(data, onlyRun());
  let bytes = 0;
  for (const item of kept.read()) {
    if (item.kind === 'record' && item.record.kind === 'bytes') bytes += item.record.bytes.length;
  }
  kept.close();
  return bytes;
}

async function enter(url: string, entry: object): Promise<{ status: number; kept?: string; error?: string }> {
  const answer = await fetch(`${url}api/journal`, {
    method: 'POST',
    headers: { 'content-type': 'application/json', origin: url.slice(0, -1) },
    body: JSON.stringify(entry),
  });
  return { status: answer.status, ...((await answer.json()) as object) };
}

const REJECT = { action: 'reject', by: 'A. Person', joint: 'S1', reason: 'torn at the connection' };

describe('a service that is killed while it records', () => {
  test('comes back where it was, and the record is that of one that was not', async () => {
    const uncut = await rig();
    const whole = await serve(uncut.port, ['--plan', PLAN]);
    expect((await counts(whole.url)).recording).toEqual({ state: 'not kept' });
    await uncut.send(0, 200_007);
    await taken(whole.url, 200_007);
    expect(await enter(whole.url, REJECT)).toMatchObject({ status: 201, kept: 'memory' });
    await uncut.send(200_007, BYTES.length);
    await taken(whole.url, BYTES.length);

    const cut = await rig();
    let service = await serve(cut.port, ['--plan', PLAN, '--data', data, '--run', 'trip 4']);
    await cut.send(0, 120_001);
    // In the middle of what arrives: whatever is not on the disk yet is lost, and sent again from there.
    await expect.poll(async () => (await counts(service.url)).bytes).toBeGreaterThan(0);
    await killed(service);
    const first = bytesKept();
    service = await serve(cut.port, ['--data', data, '--run', 'trip 4']);
    expect(await counts(service.url)).toMatchObject({
      bytes: first,
      recording: { state: 'recording', name: 'trip 4' },
    });
    await cut.send(first, 200_007);
    await taken(service.url, 200_007);
    expect(await enter(service.url, REJECT)).toMatchObject({ status: 201, kept: 'run' });
    await killed(service);
    expect(bytesKept()).toBe(200_007);
    service = await serve(cut.port, ['--data', data, '--resume', '--plan', PLAN]);
    await cut.send(200_007, BYTES.length);
    await taken(service.url, BYTES.length);
    expect(await record(service.url)).toBe(await record(whole.url));
    const { journal } = (await (await fetch(`${service.url}api/runs/journal?run=${onlyRun()}`)).json()) as {
      journal: unknown[];
    };
    expect(journal).toMatchObject([{ number: expect.any(Number), entry: REJECT }]);
    const { runs } = (await (await fetch(`${service.url}api/runs`)).json()) as { runs: unknown[] };
    expect(runs).toMatchObject([{ name: 'trip 4', state: 'recording', problems: [] }]);
    service.child.kill('SIGTERM');
    expect((await service.ended).code).toBe(0);

    const verified = await run(['verify', '--data', data, 'trip 4']);
    expect(verified).toMatchObject({ code: 0, err: '' });
    expect(verified.out).toMatch(/^run [\w-]+: whole\n/);
    // From its truth again, and as the whole stream with the journal by its side.
    const again = await run(['analyse', '--data', data, '--run', onlyRun()]);
    const journalFile = join(data, '..', 'journal.jsonl');
    writeFileSync(journalFile, `${JSON.stringify((journal[0] as { entry: object }).entry)}\n`);
    const streamFile = join(data, '..', 'whole.wits');
    writeFileSync(streamFile, BYTES);
    const beside = await run(['analyse', '--plan', PLAN, '--in', streamFile, '--journal', journalFile]);
    expect(again.err).toBe('');
    expect(again.out).toBe(beside.out);
    expect(again.out).toContain('torn at the connection');
  });

  test('a recorded stream is passed over as far as it is kept', async () => {
    const file = join(data, '..', 'stream.wits');
    writeFileSync(file, BYTES);
    const args = ['serve', '--in', file, '--plan', PLAN, '--data', data, '--run', 'played', '--port', '0'];
    for (let n = 0; n < 2; n++) {
      const service = start(args);
      programs.push(service);
      const url = /(http:\/\/[\w.:]+\/)/.exec(await service.firstLine)![1]!;
      await taken(url, BYTES.length);
      await killed(service);
      expect(bytesKept()).toBe(BYTES.length);
    }
    expect(readdirSync(join(data, 'runs'))).toHaveLength(1);
  });
});

test('the second writer refuses at once and says who holds the folder', async () => {
  const { port } = await rig();
  const first = await serve(port, ['--plan', PLAN, '--data', data]);
  const table = [
    ['serve', '--plan', PLAN, '--connect', `127.0.0.1:${port}`, '--port', '0', '--data', data],
    ['import', '--plan', PLAN, '--in', 'replay-data/demo.wits', '--data', data],
  ];
  for (const args of table) {
    const { code, out, err } = await run(args);
    expect([code, out]).toEqual([1, '']);
    expect(err).toMatch(
      new RegExp(
        `^${data}: found it held by process ${first.child.pid} on ${hostname()} since [^\\n]+, expected no other writer\\n$`,
      ),
    );
  }
});

describe('a run of the library', () => {
  const importDemo = (more: readonly string[] = []) =>
    run(['import', '--data', data, '--plan', PLAN, '--in', 'replay-data/demo.wits', ...more]);

  test('is imported, listed, analysed, copied, restored', async () => {
    const imported = await importDemo(['--name', 'the demo']);
    expect(imported).toMatchObject({ code: 0, err: '' });
    expect(imported.out).toMatch(/^run [\w-]+: the demo\nwits0, \d+ frames, \d+ samples from 2031-\S+ to 2031-\S+\n/);
    expect(imported.out).toMatch(/^column 0108 .*: bitDepth, m \(assumed\)$/m);
    const listed = await run(['runs', '--data', data]);
    expect(listed.out.split('\n')[1]).toMatch(/ {2}the demo +demo\.wits +20\S+Z +20\S+Z +closed +\d+ +\d+\.\d$/);
    const [asJson] = (await run(['runs', '--data', data, '--json'])).out.trim().split('\n');
    expect(JSON.parse(asJson!)).toMatchObject({ name: 'the demo', state: 'closed', problems: [] });

    const kept = await run(['analyse', '--data', data, '--run', 'the demo']);
    const direct = await run(['analyse', '--plan', PLAN, '--in', 'replay-data/demo.wits']);
    expect(kept.out).toBe(direct.out);
    expect(kept.out.length).toBeGreaterThan(1000);

    const copy = join(data, '..', 'copy');
    const backup = await run(['backup', '--data', data, 'the demo', '--to', copy]);
    expect(backup).toMatchObject({ code: 0, err: '' });
    const other = join(data, '..', 'other');
    const restored = await run(['restore', '--from', copy, '--data', other]);
    expect(restored).toMatchObject({ code: 0, err: '', out: backup.out });
    expect((await run(['analyse', '--data', other, '--run', 'the demo'])).out).toBe(direct.out);
    // What is there already is not written over.
    expect(await run(['restore', '--from', copy, '--data', other])).toMatchObject({ code: 1, out: '' });
  });

  test('with a bit turned is named by verify, exit code 1, and left out by analyse', async () => {
    await importDemo();
    const log = join(data, 'runs', onlyRun(), 'raw-00001.log');
    const bytes = readFileSync(log);
    bytes[bytes.length >> 1]! ^= 1;
    writeFileSync(log, bytes);
    const { code, out, err } = await run(['verify', '--data', data, onlyRun()]);
    expect(code).toBe(1);
    expect(err).toMatch(/^run [\w-]+: found \d+ places? not whole, expected none\n$/);
    expect(out).toContain('raw-00001.log');
    expect(out).toContain('not whole');
  });

  test('is copied while it is recorded', async () => {
    const { port, send } = await rig();
    const service = await serve(port, ['--plan', PLAN, '--data', data]);
    await send(0, 100_000);
    await taken(service.url, 100_000);
    const copy = join(data, '..', 'copy');
    const backup = await run(['backup', '--data', data, onlyRun(), '--to', copy]);
    expect(backup).toMatchObject({ code: 0, err: '' });
    await send(100_000, 200_000);
    await taken(service.url, 200_000);
    const other = join(data, '..', 'other');
    expect((await run(['restore', '--from', copy, '--data', other])).out).toBe(backup.out);
  });
});

test('what cannot be meant is one line, exit code 2, nothing written', async () => {
  const file = join(data, '..', 'bad.xml');
  writeFileSync(file, '<?xml version="1.0"?><!DOCTYPE logs [<!ENTITY a "b">]><logs version="1.4.1.1"></logs>');
  const table: readonly (readonly [readonly string[], RegExp])[] = [
    [['import', '--data', data, '--plan', PLAN, '--in', file], /bad\.xml: .*DOCTYPE/i],
    [['import', '--data', data, '--plan', PLAN, '--in', '-'], /^--in: found standard input/],
    [['import', '--data', data, '--plan', PLAN, '--in', 'package.json'], /format/],
    [['verify', '--data', data, 'none'], /^run "none": found no run/],
    [['verify', '--data', data], /^found nothing, expected the run to verify/],
    [['backup', '--data', data, '../x', '--to', 'y'], /^run "..\/x": found no run/],
    [['restore', '--from', data, '--data', data], /backup\.json: found no whole backup/],
    [['runs'], /^--data: found nothing/],
    [['serve', '--plan', PLAN, '--listen', '0', '--resume'], /^--resume: found it without --data/],
    [['serve', '--plan', PLAN, '--listen', '0', '--data', data, '--journal', 'j'], /^--journal: found it with --data/],
    [['serve', '--plan', PLAN, '--listen', '0', '--data', data, '--resume'], /^--resume: found no run in /],
    [['analyse', '--run', 'x', '--data', data, '--in', file], /^--in: found it with --run/],
  ];
  for (const [args, line] of table) {
    const { code, out, err } = await run(args);
    expect([code, out], args.join(' ')).toEqual([2, '']);
    expect(err).toMatch(line);
    expect(err.trimEnd().split('\n'), err).toHaveLength(1);
  }
  expect((await run(['runs', '--data', data])).out.split('\n')).toHaveLength(2);
});

describe('a start that comes to nothing leaves no run in the library', () => {
  const runs = (): string[] => (existsSync(join(data, 'runs')) ? readdirSync(join(data, 'runs')) : []);
  /** A port that nobody listens on. */
  const free = async (): Promise<number> => {
    const server = createServer().listen(0, '127.0.0.1');
    await once(server, 'listening');
    const { port } = server.address() as AddressInfo;
    server.close();
    await once(server, 'close');
    return port;
  };
  const kept = (source: readonly string[], more: readonly string[] = ['--plan', PLAN, '--port', '0']) =>
    run(['serve', ...source, '--data', data, ...more]);

  test('where the rig cannot be reached, the port is in use, or the plan or another option is bad', async () => {
    const { port: taken } = await rig();
    const nobody = ['--connect', `127.0.0.1:${await free()}`];
    const bad = join(data, '..', 'nothing.json');
    const ends = [
      await kept(nobody),
      await kept(['--listen', '0'], ['--plan', PLAN, '--port', String(taken)]),
      await kept(nobody, ['--plan', bad]),
      await kept(nobody, ['--plan', PLAN, '--rate', 'fast']),
      await kept(nobody, ['--plan', PLAN, '--caliper', bad]),
    ];
    expect(ends.map(({ code }) => code)).toEqual([1, 1, 2, 2, 2]);
    for (const { err } of ends) expect(err.trim().split('\n')).toHaveLength(1);
    expect(runs()).toEqual([]);
  });

  test('and one that was stopped before anything came; what came is kept, and a run that goes on', async () => {
    const { port, send } = await rig();
    const stop = async ({ child, ended }: Program) => {
      child.kill('SIGTERM');
      expect((await ended).code).toBe(0);
    };
    await stop(await serve(port, ['--plan', PLAN, '--data', data]));
    expect(runs()).toEqual([]);
    const service = await serve(port, ['--plan', PLAN, '--data', data]);
    await send(0, 5_000);
    await taken(service.url, 5_000);
    await stop(service);
    const [id] = runs();
    await stop(await serve(port, ['--data', data, '--resume']));
    expect(runs()).toEqual([id]);
    expect(bytesKept()).toBe(5_000);
  });
});
