/**
 * A run recorded while everything goes wrong, from one seed: a stretch of a trip whose bytes are spoilt, on a disk that tears,
 * fails, fills up and rots, with clocks that are set, and a service that is restarted at random moments. What was promised is
 * checked at each restart, and the run that came back is held against a plain one over the bytes that the log holds. The same
 * seed gives the same run.
 */
import { type Random, seededRandom } from '../../ingest/simulator/random.ts';
import type { Disk } from '../../server/keep/disk.ts';
import { readLog } from '../../server/keep/readLog.ts';
import { listRuns, readRun, runFolder } from '../../server/keep/runLibrary.ts';
import { verifyRun } from '../../server/keep/verifyRun.ts';
import { planFrom } from '../../server/plan/readPlan.ts';
import { keptJournal } from '../../server/recording/keptRun.ts';
import type { PlanWithText } from '../../server/recording/openRecording.ts';
import { Fault } from '../../src/fault.ts';
import type { JournalEntry, PostedEntry } from '../../src/journal/journalSchema.ts';
import { noFaults, SimDisk } from '../keep/simDisk.ts';
import { testPlan } from '../support/trips.ts';
import {
  faultRunDisk,
  type IndexFiles,
  indexFiles,
  newDataFolder,
  putIndexFiles,
  removeDataFolder,
} from './faultRunDisk.ts';
import { Broken, type InLog, Ledger, must } from './faultRunLedger.ts';
import { Life, turn } from './faultRunLife.ts';
import { type Given, plainRecord } from './faultRunPlain.ts';
import { faultRunChunks } from './faultRunStream.ts';

const MODES = ['honest', 'failing', 'full', 'rotting', 'mixed'] as const;
type Mode = (typeof MODES)[number];
const STEPS_MS = [-86_400_000, -3_600_000, -1500, 3_600_000] as const;
/** Bytes behind the end of a stream in another cut: the uninterrupted run gets them so. */
const OTHER_CUT = 1013;

export interface FaultRun {
  readonly mode: Mode;
  readonly chunks: number;
  readonly acknowledged: number;
  readonly refused: number;
  readonly entries: number;
  readonly crashes: number;
  readonly restarts: number;
  /** Restarts that began with a kept state. */
  readonly fromState: number;
  readonly flips: number;
  readonly damages: number;
  readonly marked: number;
  /** Nothing was lost: the record is that of an uninterrupted run. */
  readonly uninterrupted: boolean;
  readonly record: string;
}

interface World {
  readonly random: Random;
  readonly mode: Mode;
  readonly sim: SimDisk;
  readonly data: string;
  readonly plan: PlanWithText;
  readonly chunks: readonly Uint8Array[];
  readonly ledger: Ledger;
  readonly keepEverySamples: number;
  id: string | null;
  nowMs: number;
  /** The chunk that is sent next. */
  next: number;
  entries: number;
  crashes: number;
  restarts: number;
  fromState: number;
  damages: number;
}

/** @throws Error that says which promise was broken and how to repeat it */
export async function faultRun(seed: number): Promise<FaultRun> {
  const data = newDataFolder();
  const { now } = performance;
  // What gives way by time would make the order of things depend on the machine.
  const from = performance.now();
  performance.now = () => from;
  try {
    return await run(seed, data);
  } catch (error) {
    const what = error instanceof Broken ? error.message : (error as Error).stack;
    throw new Error(`seed ${seed}: ${what}\nrepeat: npm run torture -- --runs 1 --seed ${seed}`);
  } finally {
    performance.now = now;
    removeDataFolder(data);
  }
}

const PLAN_TEXT = JSON.stringify(testPlan());
const PLAN: PlanWithText = { ...planFrom('plan', JSON.parse(PLAN_TEXT)), text: PLAN_TEXT };

async function run(seed: number, data: string): Promise<FaultRun> {
  const random = seededRandom(seed);
  const world: World = {
    random,
    mode: random.pick(MODES),
    sim: new SimDisk(random),
    data,
    plan: PLAN,
    chunks: faultRunChunks(random),
    ledger: new Ledger(),
    keepEverySamples: random.pick([15, 50, 200]),
    id: null,
    nowMs: Date.UTC(2031, 2, 4),
    next: 0,
    entries: 0,
    crashes: 0,
    restarts: 0,
    fromState: 0,
    damages: 0,
  };
  for (let session = random.whole(1, 4); session > 0; session--) {
    setFaults(world);
    const life = await open(world);
    await record(world, life, random.whole(1, 8));
    await end(world, life);
    rot(world);
  }
  return last(world);
}

function used({ sim }: World): number {
  return [...sim.files().values()].reduce((sum, { length }) => sum + length, 0);
}

function setFaults(world: World): void {
  const { sim, mode, random } = world;
  const { faults } = sim;
  if (mode === 'failing' || mode === 'mixed') {
    faults.syncFails = random.pick([0, 0.05, 0.3, 0.9]);
    faults.writeFails = random.pick([0, 0.05, 0.3]);
  }
  if (mode === 'full' || (mode === 'mixed' && random.chance(0.3))) {
    faults.capacityBytes = used(world) + random.whole(500, 60_000);
  }
}

const heal = ({ sim }: World): void => void Object.assign(sim.faults, noFaults());

/** Opens what is there; a disk that fails now is seen to, and the service started again. */
async function open(world: World): Promise<Life> {
  const { sim, data, id, plan, nowMs, keepEverySamples, ledger } = world;
  const report = (line: string) => void ledger.reports.push(line);
  const options = { sim, data, id, plan, nowMs, keepEverySamples, report };
  const life = await Life.open(options).catch((error: unknown) => {
    if (!(error instanceof Fault) || error.code !== 'cannot write') throw error;
    heal(world);
    if (id === null) {
      const disk = faultRunDisk(sim);
      const left = listRuns(data, new Set(), disk);
      must(
        left.every(({ id: listed }) => hasPlan(data, listed, disk)),
        'what is listed was begun',
      );
    }
    return Life.open(options);
  });
  world.id = life.opened.id;
  const folder = runFolder(data, world.id);
  if (id === null) return life;
  world.restarts++;
  if (life.opened.parts.past.state) world.fromState++;
  const found = ledger.check(readLog(sim, folder));
  cameBack(world, life, life.record(), found, 'goes on');
  world.next = (found.chunks.at(-1) ?? -1) + 1;
  return life;
}

function hasPlan(data: string, id: string, disk: Disk): boolean {
  const run = readRun(data, id, disk);
  try {
    return run.plans().length === 1;
  } finally {
    run.close();
  }
}

const inOrder = (journal: readonly JournalEntry[]): JournalEntry[] =>
  [...journal].sort((a, b) => Date.parse(a.at) - Date.parse(b.at));

function cameBack(world: World, life: Life, record: string, found: InLog, how: 'ended' | 'goes on'): void {
  const { plan, ledger } = world;
  // A state that was kept before a record rotted has taken it in: its place in the chain still holds.
  if (ledger.flips > 0 && life.opened.parts.past.state) return;
  // The index is a second witness of what people did.
  const journal = ledger.flips > 0 ? journalOfIndex(world) : inOrder(found.journal);
  const plain = plainRecord(plan.job, [...found.given.values()], journal, how);
  must(record === plain, `the run that came back is the plain one over what the log holds (${how})`);
}

function journalOfIndex({ sim, data, id }: World): JournalEntry[] {
  const run = readRun(data, id!, faultRunDisk(sim));
  try {
    return keptJournal(run);
  } finally {
    run.close();
  }
}

async function record(world: World, life: Life, bursts: number): Promise<void> {
  const { random, chunks } = world;
  for (let burst = 0; burst < bursts && world.next < chunks.length; burst++) {
    for (let n = random.pick([1, 1, 5, 12, 30]); n > 0 && world.next < chunks.length; n--) send(world, life);
    life.clock.advance(random.whole(0, 900));
    // Some of the sending does not wait: the crash comes while it is under way.
    if (burst === bursts - 1 && random.chance(0.6)) break;
    await life.settled();
    saysHowItFares(life);
    if (random.chance(0.25)) await enter(world, life);
    if (world.sim.faults.capacityBytes < Infinity || random.chance(0.3)) await seenTo(world, life);
  }
}

function send(world: World, life: Life): void {
  const { random, ledger, chunks } = world;
  if (random.chance(0.02)) life.clock.step(random.pick(STEPS_MS));
  life.clock.advance(random.whole(1, 40));
  while (ledger.isTaken(life.clock.nowMs())) life.clock.advance(1);
  const nowMs = life.clock.nowMs();
  const bytes = chunks[world.next]!;
  ledger.sent(world.next, bytes, nowMs, life.send(bytes, nowMs));
  world.next++;
  world.nowMs = nowMs;
}

/** What is shown as recorded is no more than what was received, and a stopped recording is said. */
function saysHowItFares(life: Life): void {
  const { recording, frames } = life.live.ingest();
  must(recording.state !== 'not kept' && recording.frames <= frames, 'no more is shown as recorded than came');
  if (life.stopped) must(recording.state === 'not recording', 'a recording that is stopped is said to be');
}

async function enter(world: World, life: Life): Promise<void> {
  const { random, ledger } = world;
  const by = 'A. Person';
  const text = `entry ${++world.entries}`;
  const posted: PostedEntry = random.chance(0.7)
    ? { action: 'note', by, text }
    : { action: 'reject', by, joint: random.pick(['Z1', 'S1', 'S2']), reason: text };
  try {
    ledger.entered((await life.live.enter(posted)).entry);
  } catch (error) {
    // Before the first sample, or the disk does not take it: then nothing was entered.
    if (!(error instanceof Fault)) throw error;
  }
}

/** Somebody makes room, or changes the disk: recording resumes by itself. */
async function seenTo(world: World, life: Life): Promise<void> {
  if (!world.random.chance(0.5)) return;
  heal(world);
  life.clock.advance(4000);
  await life.settled();
}

async function end(world: World, life: Life): Promise<void> {
  const { random, sim, mode, ledger, data, id } = world;
  const folder = runFolder(data, id!);
  const crashes = random.chance(0.6);
  let index: IndexFiles | null = null;
  if (crashes) {
    for (let n = random.whole(0, 12); n > 0; n--) await (random.chance(0.5) ? null : turn());
    world.crashes++;
    ledger.lifeEnds(life.stopped);
    index = indexFiles(folder);
    sim.crash();
  } else {
    await life.settled();
    asLive(world, life);
  }
  await life.end();
  if (index === null) ledger.lifeEnds(life.stopped);
  else putIndexFiles(folder, mode !== 'rotting' && random.chance(0.1) ? new Map() : index);
  heal(world);
  world.damages += ledger.check(readLog(sim, folder)).damages.length;
}

/** A life that lost nothing shows what the log gives. */
function asLive(world: World, life: Life): void {
  if (life.lost || world.ledger.flips > 0) return;
  const found = world.ledger.check(readLog(world.sim, runFolder(world.data, world.id!)));
  cameBack(world, life, life.record(), found, 'goes on');
}

/** At rest: bits turn, in the log and in what is kept beside it. */
function rot({ sim, mode, random, ledger }: World): void {
  if (mode !== 'rotting' || !random.chance(0.7)) return;
  for (let n = random.whole(1, 3); n > 0; n--) {
    const place = random.pick(['/raw-', '/cache/']);
    if (sim.flip((path) => path.includes(place)) && place === '/raw-') ledger.flips++;
  }
}

/** Once more without faults: the rest of the stream is recorded, and the run ends. */
async function last(world: World): Promise<FaultRun> {
  const { sim, data, ledger, chunks, mode } = world;
  const life = await open(world);
  while (world.next < chunks.length) {
    await record(world, life, 1);
    await life.settled();
  }
  await life.live.endSource('the trip is over');
  await life.settled();
  const final = life.record();
  await life.end();
  ledger.lifeEnds(false);
  const folder = runFolder(data, world.id!);
  const found = ledger.check(readLog(sim, folder));
  cameBack(world, life, final, found, 'ended');
  const check = verifyRun(faultRunDisk(sim), folder);
  // A crash may tear a record that was not acknowledged, with whole ones behind it: a hole that is named.
  must(check.whole || ledger.flips + world.crashes > 0, `the run is whole: ${check.problems.join('; ')}`);
  const uninterrupted = found.chunks.length === chunks.length;
  if (uninterrupted && ledger.flips === 0) {
    must(final === withoutFaults(world, found), 'the record is that of a run that was never interrupted');
  }
  return {
    mode,
    chunks: chunks.length,
    acknowledged: ledger.count('acknowledged'),
    refused: ledger.count('refused'),
    entries: found.journal.length,
    crashes: world.crashes,
    restarts: world.restarts,
    fromState: world.fromState,
    flips: ledger.flips,
    damages: world.damages + found.damages.length,
    marked: found.marked,
    uninterrupted,
    record: final,
  };
}

/** The stream as the rig sent it, in other pieces and at other times of our clock. */
function withoutFaults({ chunks, plan }: World, { journal }: InLog): string {
  const bytes = Buffer.concat(chunks);
  const given: Given[] = [];
  for (let at = 0; at < bytes.length; at += OTHER_CUT) {
    given.push({ bytes: bytes.subarray(at, at + OTHER_CUT), arrivalMs: Date.UTC(2032, 0, 1) + at });
  }
  return plainRecord(plan.job, given, inOrder(journal), 'ended');
}
