/** Kills a program that records, again and again, at moments that the seed chooses, and holds what it kept against what it said. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { seededRandom } from '../../ingest/simulator/random.ts';
import { nodeDisk } from '../../server/keep/nodeDisk.ts';
import { RunLibrary, readRun } from '../../server/keep/runLibrary.ts';
import { verifyRun } from '../../server/keep/verifyRun.ts';
import { tortureFrame } from './tortureFrame.ts';

export interface KillTorture {
  readonly kills: number;
  readonly frames: number;
  readonly acknowledged: number;
  /** The longest time from the start of the program to its being open again, ms. */
  readonly slowestOpenMs: number;
}

interface Life {
  readonly opened: number | null;
  readonly acknowledged: number;
  readonly openMs: number;
  readonly lines: readonly string[];
}

/** One start and its end. @param killAfterMs after it is open, or after its start when `early` */
async function live(program: string, args: string[], killAfterMs: number, early: boolean): Promise<Life> {
  const from = performance.now();
  const child = spawn(process.execPath, [program, ...args], { stdio: ['ignore', 'pipe', 'pipe'] });
  let out = '';
  let wrong = '';
  let openMs = 0;
  const killLater = () => setTimeout(() => child.kill('SIGKILL'), killAfterMs);
  if (early) killLater();
  child.stdout.setEncoding('latin1').on('data', (data: string) => {
    out += data;
    if (openMs > 0 || !/^open /m.test(out)) return;
    openMs = performance.now() - from;
    if (!early) killLater();
  });
  child.stderr.setEncoding('utf8').on('data', (data: string) => {
    wrong += data;
  });
  const [, signal] = (await once(child, 'close')) as [number | null, string | null];
  if (signal !== 'SIGKILL') throw new Error(`the program ended by itself: ${wrong}`);
  // The last line may be cut: then nobody heard it.
  const lines = out.split('\n').slice(0, -1);
  const numbers = (start: string) =>
    lines.filter((line) => line.startsWith(start)).map((line) => Number(line.slice(start.length)));
  return { opened: numbers('open ')[0] ?? null, acknowledged: Math.max(0, ...numbers('a ')), openMs, lines };
}

/**
 * @param program the built recordMain
 * @throws Error that says what was lost, doubled or changed, and the seed
 */
export async function killTorture(program: string, kills: number, seed: number): Promise<KillTorture> {
  const data = mkdtempSync(join(tmpdir(), 'jointwise-kill-'));
  try {
    return await torture(program, kills, seed, data);
  } catch (error) {
    throw new Error(
      `seed ${seed}: ${(error as Error).message}\nrepeat: npm run torture -- --kills ${kills} --seed ${seed}`,
    );
  } finally {
    rmSync(data, { recursive: true, force: true });
  }
}

async function torture(program: string, kills: number, seed: number, data: string): Promise<KillTorture> {
  const random = seededRandom(seed);
  const library = new RunLibrary(data, { nowMs: () => Date.now(), report: () => {} });
  const { id } = await library.create({ name: 'killed', source: 'torture' });
  await library.end();
  let acknowledged = 0;
  let slowestOpenMs = 0;
  for (let kill = 0; kill < kills; kill++) {
    // One in five while it opens.
    const early = random.chance(0.2);
    const life = await live(
      program,
      [data, id, String(random.whole(1, 1e9))],
      random.whole(early ? 20 : 50, early ? 150 : 500),
      early,
    );
    if (life.opened !== null && life.opened < acknowledged) {
      throw new Error(`kill ${kill}: frame ${acknowledged} was acknowledged, the run was opened with ${life.opened}`);
    }
    const bad = life.lines.find(
      (line) => line.startsWith('r ') && !/taken over|cut away|cut short|checksum|header does not hold/.test(line),
    );
    if (bad) throw new Error(`kill ${kill}: ${bad}`);
    acknowledged = Math.max(acknowledged, life.acknowledged);
    slowestOpenMs = Math.max(slowestOpenMs, life.openMs);
  }
  const frames = checkFrames(data, id);
  if (frames < acknowledged) throw new Error(`frame ${acknowledged} was acknowledged, the run ends with ${frames}`);
  return { kills, frames, acknowledged, slowestOpenMs };
}

/** The run as it is after one more opening: every frame once, in order, equal to the byte. Answers the last. */
function checkFrames(data: string, id: string): number {
  const run = readRun(data, id);
  let frames = 0;
  try {
    for (const item of run.read(null, Infinity)) {
      if (item.kind === 'damage') {
        // What was being written when it was killed last.
        if (item.damage.kind === 'tail') continue;
        throw new Error(item.damage.line);
      }
      if (item.record.kind !== 'bytes') continue;
      frames++;
      if (!tortureFrame(frames).equals(item.record.bytes))
        throw new Error(`frame ${frames} is not the one that was sent`);
    }
  } finally {
    run.close();
  }
  const bad = verifyRun(nodeDisk, join(data, 'runs', id)).problems.filter(
    (line) => !line.includes('found no row of record'),
  );
  if (bad.length > 0) throw new Error(bad[0]);
  return frames;
}
