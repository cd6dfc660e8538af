/** `serve` after kill -9 with a run of 72 h open, one record a frame: from its kept state, and from the log alone. */
import { once } from 'node:events';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { RunLibrary, runFolder } from '../../server/keep/runLibrary.ts';
import type { KeptSource } from '../../server/recording/keptSource.ts';
import { type BenchLine, inMs } from './benchLine.ts';
import { median } from './interleave.ts';
import { startServe } from './serveProcess.ts';
import { trip72h } from './trip72h.ts';

const ROUNDS = 5;
/** Records given at a time; the log commits them together. */
const AT_ONCE = 4096;
const SOURCE: KeptSource = { kind: 'source', name: 'rig', format: 'wits0', arrival: 'clock', tag: 'offer' };

/** As a service that ran for three days and was killed would leave it, but for its kept states. */
async function recorded(data: string, stream: Buffer, plan: string): Promise<string> {
  const startMs = Date.UTC(2031, 2, 4);
  const library = new RunLibrary(data, { nowMs: () => startMs, report: () => {} });
  const { id, run } = await library.create({ name: 'long', source: 'rig', plan });
  await run.link(SOURCE, startMs);
  let waiting: Promise<unknown>[] = [];
  for (let at = 0, n = 0; at < stream.length; n++) {
    const mark = stream.indexOf('!!', at);
    const end = mark < 0 ? stream.length : mark + 4;
    waiting.push(run.record(stream.subarray(at, end), startMs + n * 1000));
    at = end;
    if (waiting.length < AT_ONCE) continue;
    await Promise.all(waiting);
    waiting = [];
  }
  await Promise.all(waiting);
  await library.end();
  return id;
}

async function startKilled(args: readonly string[]): Promise<number> {
  const from = performance.now();
  const { child } = await startServe(args);
  const ms = performance.now() - from;
  const closed = once(child, 'close');
  child.kill('SIGKILL');
  await closed;
  return ms;
}

export async function run(): Promise<BenchLine[]> {
  const { planFile, streamFile } = trip72h();
  const data = mkdtempSync(join(tmpdir(), 'jointwise-restart-'));
  try {
    const id = await recorded(data, readFileSync(streamFile), readFileSync(planFile, 'utf8'));
    const args = ['--listen', '0', '--data', data, '--resume'];
    const anew = await startKilled(args);
    const kept: number[] = [];
    for (let round = 0; round < ROUNDS; round++) kept.push(await startKilled(args));
    rmSync(join(runFolder(data, id), 'cache'), { recursive: true, force: true });
    const again = await startKilled(args);
    const ours = median(kept);
    const without = Math.max(anew, again);
    return [
      {
        what: 'restart after kill -9 with 72 h open',
        ours: inMs(ours),
        beside: '',
        found: ours,
        unit: 'ms',
        goal: 3000,
      },
      {
        what: 'the same without its kept state',
        ours: inMs(without),
        beside: '',
        found: without,
        unit: 'ms',
        goal: null,
      },
    ];
  } finally {
    rmSync(data, { recursive: true, force: true });
  }
}
