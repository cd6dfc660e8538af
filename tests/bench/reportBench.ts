/** `report`: the demo and a run of 60 joints at 1 Hz, from the course in memory to the bytes of the file. */
import { makeReport, reportInput, workedCourse } from '../../server/report/makeReport.ts';
import { demoCourse, type ReadCourse } from '../support/demoCourse.ts';
import { longRun } from '../support/longRun.ts';
import { type BenchLine, inMb, inMs } from './benchLine.ts';

const ROUNDS = 5;
const JOINTS = 60;
const GOAL_MB = 5;

interface Made {
  /** Of each round, ms: counting the run again, and drawing and writing it. */
  readonly counted: number;
  readonly drawn: number;
  readonly bytes: number;
}

const median = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!;

async function once({ course, source }: ReadCourse): Promise<Made> {
  const fromMs = performance.now();
  const worked = await workedCourse(course);
  const workedMs = performance.now();
  const { length } = await makeReport(reportInput({ worked, source, runName: 'bench' }));
  return { counted: workedMs - fromMs, drawn: performance.now() - workedMs, bytes: length };
}

async function lines(what: string, read: ReadCourse): Promise<BenchLine[]> {
  const rounds: Made[] = [];
  for (let i = 0; i < ROUNDS; i += 1) rounds.push(await once(read));
  const counted = median(rounds.map((one) => one.counted));
  const drawn = median(rounds.map((one) => one.drawn));
  const mb = rounds[0]!.bytes / 1e6;
  const whole = counted + drawn;
  const note = `${inMs(counted)} counting ${read.course.samples.rows} samples again, ${inMs(drawn)} drawing and writing`;
  return [
    { what: `report of ${what}`, ours: inMs(whole), beside: '', found: whole, unit: 'ms', goal: null, note },
    { what: `report of ${what}, size`, ours: inMb(rounds[0]!.bytes), beside: '', found: mb, unit: 'MB', goal: GOAL_MB },
  ];
}

export async function run(): Promise<BenchLine[]> {
  return [...(await lines('the demo', await demoCourse())), ...(await lines(`${JOINTS} joints`, longRun(JOINTS, 1)))];
}
