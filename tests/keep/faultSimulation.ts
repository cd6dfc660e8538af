/**
 * A recording on a disk that goes wrong, from one seed: sessions of appends, each ended by a crash or a close, with what
 * the seed chooses of failing writes and syncs, a disk that fills up, one that lies, bits that turn and a clock that steps.
 * What was promised is checked after each session. The same seed gives the same run.
 */
import { type Random, seededRandom } from '../../ingest/simulator/random.ts';
import { DiskError } from '../../server/keep/disk.ts';
import { openRawLog } from '../../server/keep/openRawLog.ts';
import type { Appended, HoleMark, RawLog } from '../../server/keep/rawLog.ts';
import type { RawRecord } from '../../server/keep/rawRecord.ts';
import { type Damage, readLog } from '../../server/keep/readLog.ts';
import { noFaults, SimDisk } from './simDisk.ts';

const FOLDER = 'run';
const MODES = ['honest', 'failing', 'full', 'lying', 'rotting', 'mixed'] as const;
export type Mode = (typeof MODES)[number];

interface Sent {
  readonly id: number;
  readonly text: string;
  appended: Appended | null;
  /** The log was stopped when its session ended: a refused record may have been left behind. */
  endedStopped: boolean;
}

interface Ledger {
  readonly sent: Sent[];
  readonly reports: string[];
  /** What another witness knows: every tenth acknowledged record. */
  known: { number: number; hash: Uint8Array; arrivalMs: number } | null;
  flips: number;
  lied: boolean;
  /** Records that were missed and are still to be marked. */
  unmarked: number;
  marked: number;
  crashed: boolean;
  /** What a process says after its crash is heard by nobody. */
  session: number;
}

export interface Simulated {
  readonly mode: Mode;
  readonly sent: number;
  readonly acknowledged: number;
  readonly refused: number;
  readonly damages: number;
  readonly holes: number;
  /** The bytes of all files, for a comparison of two runs of one seed. */
  readonly files: Map<string, Buffer>;
}

class Broken extends Error {}
function must(holds: boolean, promise: string): asserts holds {
  if (!holds) throw new Broken(promise);
}

/** @throws Error that says which promise was broken and how to repeat it */
export async function simulate(seed: number): Promise<Simulated> {
  try {
    return await run(seed);
  } catch (error) {
    const what = error instanceof Broken ? error.message : (error as Error).stack;
    throw new Error(`seed ${seed}: ${what}\nrepeat: npm run torture -- --seed ${seed}`);
  }
}

async function run(seed: number): Promise<Simulated> {
  const random = seededRandom(seed);
  const mode = random.pick(MODES);
  const disk = new SimDisk(random);
  const ledger: Ledger = {
    sent: [],
    reports: [],
    known: null,
    flips: 0,
    lied: false,
    unmarked: 0,
    marked: 0,
    crashed: false,
    session: 0,
  };
  const sessions = random.whole(1, 5);
  let clock = Date.UTC(2031, 2, 4);
  const nowMs = () => clock;
  const tick = () => {
    clock += random.chance(0.02) ? random.pick([-3_600_000, 3_600_000, -86_400_000]) : random.whole(1, 2000);
    return clock;
  };
  for (let session = 0; session < sessions; session++) {
    setFaults(disk, mode, random, ledger);
    const log = await openLog(disk, random, nowMs, ledger);
    // What the folder of a run goes through before: its name is on the disk.
    if (session === 0) disk.syncFolder(FOLDER);
    const first = ledger.sent.length;
    await record(log, disk, random, tick, ledger);
    const crashed = await end(log, disk, random, ledger, first);
    Object.assign(disk.faults, noFaults());
    // One thing at a time: a crash that keeps the head from the disk and a bit that turns in the last record together can hide it.
    if (!crashed) rot(disk, mode, random, ledger);
    check(disk, ledger, mode);
  }
  // Once more without faults: what is there can be opened and written.
  const log = await openLog(disk, random, nowMs, ledger);
  const last = {
    id: ledger.sent.length,
    text: `#${ledger.sent.length} last`,
    appended: null,
    endedStopped: false,
  } as Sent;
  ledger.sent.push(last);
  last.appended = await log.append('bytes', Buffer.from(last.text), tick());
  must(last.appended.kind === 'recorded', 'a disk that is well again records');
  await log.close();
  const { damages, holes } = check(disk, ledger, mode);
  const acknowledged = ledger.sent.filter(({ appended }) => appended?.kind === 'recorded').length;
  const refused = ledger.sent.filter(({ appended }) => appended?.kind === 'not recorded').length;
  return { mode, sent: ledger.sent.length, acknowledged, refused, damages, holes, files: disk.files() };
}

function setFaults({ faults }: SimDisk, mode: Mode, random: Random, ledger: Ledger): void {
  const mixed = mode === 'mixed';
  if (mode === 'failing' || mixed) {
    faults.syncFails = random.pick([0, 0.05, 0.3, 0.9]);
    faults.writeFails = random.pick([0, 0.05, 0.3]);
  }
  if (mode === 'full' || (mixed && random.chance(0.3))) faults.capacityBytes = random.whole(1000, 60_000);
  if (mode === 'lying' || (mixed && random.chance(0.1))) faults.lies = true;
  ledger.lied ||= faults.lies;
}

async function openLog(disk: SimDisk, random: Random, nowMs: () => number, ledger: Ledger): Promise<RawLog> {
  const key = Uint8Array.from({ length: 16 }, () => random.whole(0, 255));
  const { known } = ledger;
  const before = ledger.reports.length;
  const end = lastWhole(disk);
  const options = {
    disk: disk.process(),
    folder: FOLDER,
    nowMs,
    report: (line: string) => void ledger.reports.push(line),
    newKey: () => key,
    known,
    segmentBytes: 16_000,
    roomBytes: 5000,
  };
  const log = await openRawLog(options).catch((error: unknown) => {
    if (!(error instanceof DiskError)) throw error;
    // A disk that fails now is no log to write to: somebody sees to it and starts again.
    Object.assign(disk.faults, noFaults());
    return openRawLog(options);
  });
  if (known && known.number > end) {
    must(ledger.reports.length > before, `a loss is said: the log ends with ${end}, ${known.number} is known`);
  }
  return log;
}

function lastWhole(disk: SimDisk): number {
  let last = 0;
  for (const item of readLog(disk, FOLDER)) if (item.kind === 'record') last = item.record.number;
  return last;
}

async function record(log: RawLog, disk: SimDisk, random: Random, tick: () => number, ledger: Ledger): Promise<void> {
  const bursts = random.whole(1, 12);
  for (let burst = 0; burst < bursts; burst++) {
    const batch: Promise<void>[] = [];
    for (let n = random.pick([1, 1, 1, 5, 20]); n > 0; n--) batch.push(send(log, random, tick(), ledger));
    // Some of the sending does not wait: the crash comes while it is under way.
    if (burst < bursts - 1 || random.chance(0.5)) await Promise.all(batch);
    if (log.state.kind === 'stopped' && random.chance(0.5)) await heal(log, disk, random, ledger);
  }
}

async function send(log: RawLog, random: Random, arrivalMs: number, ledger: Ledger): Promise<void> {
  const id = ledger.sent.length;
  const text = `#${id} ${'x'.repeat(random.pick([0, 10, 268, 268, 268, 3000]))}`;
  const sent: Sent = { id, text, appended: null, endedStopped: false };
  ledger.sent.push(sent);
  const { session } = ledger;
  const appended = await log.append('bytes', Buffer.from(text), arrivalMs);
  if (session !== ledger.session) return;
  sent.appended = appended;
  if (appended.kind === 'not recorded') ledger.unmarked++;
  else if (appended.number % 10 === 0) ledger.known = { number: appended.number, hash: appended.hash, arrivalMs };
}

async function heal(log: RawLog, disk: SimDisk, random: Random, ledger: Ledger): Promise<void> {
  disk.faults.capacityBytes = Infinity;
  if (random.chance(0.7)) Object.assign(disk.faults, { syncFails: 0, writeFails: 0 });
  if (!(await log.resume())) return;
  ledger.marked += ledger.unmarked;
  ledger.unmarked = 0;
}

async function end(log: RawLog, disk: SimDisk, random: Random, ledger: Ledger, first: number): Promise<boolean> {
  const crashes = random.chance(0.6);
  let stopped = log.state.kind === 'stopped';
  if (!crashes) await log.close();
  stopped ||= log.state.kind === 'stopped' || ledger.unmarked > 0;
  for (const sent of ledger.sent.slice(first)) sent.endedStopped = stopped;
  // What was missed by a log that ended so is told by nobody but the reports.
  ledger.unmarked = 0;
  if (!crashes) return false;
  ledger.crashed = true;
  ledger.session++;
  disk.crash();
  return true;
}

function rot(disk: SimDisk, mode: Mode, random: Random, ledger: Ledger): void {
  if (mode !== 'rotting' || !random.chance(0.7)) return;
  for (let n = random.whole(1, 4); n > 0; n--) {
    if (disk.flip((path) => path.includes('/raw-'))) ledger.flips++;
  }
}

interface Found {
  readonly records: RawRecord[];
  readonly damages: Damage[];
}

function readAll(disk: SimDisk): Found {
  const records: RawRecord[] = [];
  const damages: Damage[] = [];
  for (const item of readLog(disk, FOLDER)) {
    if (item.kind === 'record') records.push(item.record);
    else damages.push(item.damage);
  }
  return { records, damages };
}

const textOf = ({ bytes }: RawRecord): string => Buffer.from(bytes).toString('latin1');

function check(disk: SimDisk, ledger: Ledger, mode: Mode): { damages: number; holes: number } {
  const { records, damages } = readAll(disk);
  const byText = new Map(ledger.sent.map((sent) => [sent.text, sent]));
  const seen = new Set<number>();
  let lastNumber = 0;
  let lastId = -1;
  let marked = 0;
  for (const record of records) {
    must(record.number > lastNumber, `numbers rise: ${record.number} after ${lastNumber}`);
    lastNumber = record.number;
    if (record.kind === 'mark') {
      const mark = JSON.parse(textOf(record)) as HoleMark;
      must(mark.fromMs <= mark.toMs, 'a hole ends after it began');
      marked += mark.records;
      continue;
    }
    const sent = byText.get(textOf(record));
    must(sent !== undefined, `record ${record.number} is what was sent`);
    must(!seen.has(sent.id), `${sent.id} is there once`);
    seen.add(sent.id);
    must(sent.id > lastId, 'records are in the order of their sending');
    lastId = sent.id;
    must(
      sent.appended?.kind !== 'recorded' || sent.appended.number === record.number,
      `record ${record.number} has the number that was acknowledged`,
    );
    const mayBeLeft = sent.endedStopped || ledger.lied;
    must(sent.appended?.kind !== 'not recorded' || mayBeLeft, `${sent.id} was refused and is not in the log`);
  }
  acknowledgedAreThere(ledger, seen, damages, mode);
  if (ledger.flips === 0 && !ledger.lied && !ledger.crashed) {
    must(marked === ledger.marked, `the holes say ${marked} records, ${ledger.marked} were missed`);
  }
  return { damages: damages.length, holes: marked };
}

function acknowledgedAreThere(ledger: Ledger, seen: ReadonlySet<number>, damages: readonly Damage[], mode: Mode): void {
  // A disk that lies breaks the promise for us; all that is left is that nothing wrong is shown, which is checked above.
  if (ledger.lied) return;
  for (const { id, appended } of ledger.sent) {
    if (appended?.kind !== 'recorded' || seen.has(id)) continue;
    must(ledger.flips > 0, `acknowledged record ${appended.number} is there (${mode})`);
    const { number } = appended;
    const isNamed = (damage: Damage) =>
      (damage.afterNumber ?? 0) < number && (damage.beforeNumber ?? Infinity) > number;
    // A tail that was cut at the opening was reported then.
    must(damages.some(isNamed) || ledger.reports.length > 0, `record ${number}, which is damaged, is in a hole`);
  }
}
