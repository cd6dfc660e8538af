/** The check of a long job from its two files to its answer, beside reading the same two files with nothing worked out. */
import { checkPlan } from '../../src/check/checkPlan.ts';
import { readCaliperLog } from '../../src/engineering/caliperLog.ts';
import { compileJob } from '../../src/plan/job.ts';
import { planSchema } from '../../src/plan/planSchema.ts';
import { type BenchLine, inMs } from './benchLine.ts';
import { interleave } from './interleave.ts';

const ROUNDS = 15;
const JOINTS = 60;
const HOLE_M = 3000;
const STATION_M = 10;
const LOG_STEP_M = 0.1;
const JOINT_M = 11.6;
const TOP_M = HOLE_M - JOINTS * JOINT_M - 10;
const GOAL_MS = 500;

/** Every sixth joint is an isolation joint; the hole turns from the vertical to 60 degrees. */
function planText(): string {
  const joints = Array.from({ length: JOINTS }, (_, i) => ({
    name: `J${i + 1}`,
    kind: i % 6 === 0 ? 'isolation' : 'screen',
    length: JOINT_M,
    expandFrom: 0.6,
    expandTo: 11,
    od: 140,
    ...(i % 6 === 0 ? { expandedOd: 205, elastomer: { thickness: 8 } } : {}),
  }));
  const recipe = (tool: string, min: number, max: number) => ({
    tools: [tool],
    pressure: { at: 'standpipe', min, max },
    torque: { max: 16 },
  });
  return JSON.stringify({
    format: 'jointwise-plan/1',
    units: 'metric',
    liner: { top: TOP_M, joints },
    tools: [
      { name: 'upper', offset: 5.4, range: { min: 206, max: 222 } },
      { name: 'lower', offset: 1.1, range: { min: 204, max: 226 } },
    ],
    recipes: { isolation: recipe('upper', 16000, 22000), screen: recipe('lower', 7500, 11000) },
    fluid: { density: 1180, dials: { 600: 38, 300: 24, 200: 19, 100: 13, 6: 4, 3: 3 } },
    string: [
      { length: TOP_M, od: 127, id: 108.6, mass: 31 },
      { length: HOLE_M - TOP_M, od: 88.9, id: 70.2, mass: 21.6 },
    ],
    hole: [
      { from: 0, to: TOP_M - 5, id: 220.5, friction: 0.25 },
      { from: TOP_M - 5, to: HOLE_M, id: 215.9, friction: 0.35 },
    ],
    survey: Array.from({ length: HOLE_M / STATION_M + 1 }, (_, i) => ({
      md: i * STATION_M,
      inclination: Math.max(0, Math.min(60, (i * STATION_M - 800) / 25)),
      azimuth: 140 + Math.sin(i / 5),
    })),
    surface: { blockWeight: 180, pumps: [{ name: '1', displacement: 16.2 }] },
    flowPath: { shiftsAt: 1050, dischargeCoefficient: 0.95, low: { area: 140 }, high: { area: 117 } },
    temperature: { tallied: 16, surface: 20, bottom: 90 },
  });
}

function logText(): string {
  const rows = Array.from({ length: HOLE_M / LOG_STEP_M + 1 }, (_, i) => {
    const depth = i * LOG_STEP_M;
    const washed = i % 1000 < 30 ? 15 : 0;
    return `${depth.toFixed(1)},${(215.9 + Math.sin(i / 7) + washed).toFixed(1)},${(215.5 + Math.sin(i / 11)).toFixed(1)}`;
  });
  return `DEPTH (m),C13 (mm),C24 (mm)\n${rows.join('\n')}\n`;
}

export async function run(): Promise<BenchLine[]> {
  const plan = planText();
  const log = logText();
  const ours = () => {
    const job = compileJob(planSchema.parse(JSON.parse(plan)));
    const caliper = readCaliperLog(log, { file: 'log.csv', nulls: job.stream.nulls });
    const check = checkPlan(job, { caliper });
    if (check.roadmap.length !== JOINTS || check.roadmap.some((row) => row.flow === null || row.torque === null)) {
      throw new Error('the check was not worked out');
    }
    return JSON.stringify(check, null, 2);
  };
  const read = () => {
    const rows = log.split('\n').map((line) => line.split(',').map(Number));
    return JSON.stringify([JSON.parse(plan), rows]);
  };
  const timed = await interleave(ROUNDS, ours, read, 3);
  const rows = HOLE_M / LOG_STEP_M + 1;
  return [
    {
      what: `check, ${JOINTS} joints, survey of ${HOLE_M / STATION_M + 1} stations, caliper log of ${rows} rows`,
      ours: inMs(timed.ours),
      beside: `${inMs(timed.beside)} splitting the log, parsing the plan, writing both as JSON`,
      found: timed.ours,
      unit: 'ms',
      goal: GOAL_MS,
      note: `${timed.ratio.toFixed(1)}× of reading and writing the same bytes with nothing judged or worked out`,
    },
  ];
}
