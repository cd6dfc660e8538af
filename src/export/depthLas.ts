/**
 * A run by depth in LAS 2.0: the liner on an even grid, top to bottom, one row a depth, with what the tool that expands the
 * joint there met when it passed, last or with the pass that is asked for, and what the record says of that depth.
 */
import { GAP_CAUSES, VERDICTS } from '../causes.ts';
import { CHANNEL_INDEX, CHANNELS, type ChannelId } from '../channels.ts';
import { Fault } from '../fault.ts';
import type { Job, Joint } from '../plan/job.ts';
import { converter, type Quantity, toInside, type UnitName, type UnitSystem } from '../units.ts';
import { type DepthGrid, type ToolProfile, toolProfile } from './depthProfile.ts';
import type { ExportInput } from './exportInput.ts';
import { asciiUnit, unitOf } from './fileUnits.ts';
import { instantText } from './instantText.ts';
import { codeLegend, type LasColumn, lasFile } from './lasFile.ts';
import { exactText, roundedText } from './numberText.ts';
import { codeIn } from './phaseCodes.ts';

export interface DepthChoice {
  /** Name of a tool; left out: those of each joint's recipe, the one that passed last. */
  readonly tool?: string | undefined;
  /** From 1; left out: the last over each depth. */
  readonly pass?: number | undefined;
}

/** Step of the grid in the unit of the file, and its decimals. */
const STEPS = { metric: { step: 0.1, decimals: 1 }, field: { step: 0.25, decimals: 2 } } as const;
/** Ends of joints are kept to a hundredth of a millimetre. */
const GRID_TOLERANCE = 1e-4;

interface PassedPoint {
  readonly tool: Float32Array;
  readonly pass: Float32Array;
  /** -1: no tool passed. */
  readonly row: Int32Array;
}

function gridOf({ joints }: Job, system: UnitSystem): DepthGrid {
  const { step } = STEPS[system];
  const units = converter(system);
  const top = units.out('length', joints[0]!.top);
  const bottom = units.out('length', joints.at(-1)!.bottom);
  const firstStep = Math.ceil(top / step - GRID_TOLERANCE);
  const last = Math.floor(bottom / step + GRID_TOLERANCE);
  return { firstStep, points: last - firstStep + 1, stepM: toInside(step, unitOf('length', system)) };
}

/** Index of the joint at each point, -1 for none. */
function jointsAt({ joints }: Job, { firstStep, points, stepM }: DepthGrid): Int32Array {
  const at = new Int32Array(points).fill(-1);
  let joint = 0;
  for (let i = 0; i < points; i += 1) {
    const depth = (firstStep + i) * stepM;
    while (joint < joints.length - 1 && depth >= joints[joint]!.bottom) joint += 1;
    if (depth >= joints[joint]!.top && depth <= joints[joint]!.bottom) at[i] = joint;
  }
  return at;
}

/** @throws Fault `bad option` for a tool that the plan does not have */
function toolsWanted({ tools }: Job, { tool }: DepthChoice): readonly number[] | null {
  if (tool === undefined) return null;
  const index = tools.findIndex(({ name }) => name === tool);
  if (index >= 0) return [index];
  const names = tools.map(({ name }) => name).join(', ');
  throw new Fault('bad option', `tool: found "${tool}", expected one of ${names}`);
}

function passedPoints(input: ExportInput, grid: DepthGrid, at: Int32Array, choice: DepthChoice): PassedPoint {
  const { job } = input;
  const wanted = toolsWanted(job, choice);
  const profiles = job.tools.map(({ index }) => toolProfile(input, index, grid, choice.pass ?? null));
  const passed = {
    tool: new Float32Array(grid.points).fill(Number.NaN),
    pass: new Float32Array(grid.points).fill(Number.NaN),
    row: new Int32Array(grid.points).fill(-1),
  };
  const all = job.tools.map(({ index }) => index);
  for (let i = 0; i < grid.points; i += 1) {
    const joint: Joint | undefined = job.joints[at[i]!];
    for (const tool of wanted ?? joint?.recipe?.tools ?? all) takePoint(passed, profiles[tool]!, tool, i);
  }
  return passed;
}

function takePoint(passed: PassedPoint, profile: ToolProfile, tool: number, i: number): void {
  if (profile.row[i]! <= passed.row[i]!) return;
  passed.row[i] = profile.row[i]!;
  passed.pass[i] = profile.pass[i]!;
  passed.tool[i] = tool + 1;
}

/** What the record says of each depth. */
function judged({ record, job }: ExportInput, grid: DepthGrid, at: Int32Array) {
  const length = (value: number): number => converter(record.units).in('length', value);
  const verdict = new Float32Array(grid.points).fill(Number.NaN);
  const expanded = new Float32Array(grid.points).fill(Number.NaN);
  const cause = new Float32Array(grid.points).fill(Number.NaN);
  const gaps = record.joints.map((joint) =>
    joint.gaps.map(({ from, to, cause: why }) => ({ from: length(from), to: length(to), why })),
  );
  for (let i = 0; i < grid.points; i += 1) {
    const joint = job.joints[at[i]!];
    if (!joint) continue;
    verdict[i] = codeIn(VERDICTS, record.joints[joint.index]!.verdict);
    const depth = (grid.firstStep + i) * grid.stepM;
    if (!joint.recipe || depth < joint.from || depth >= joint.to) continue;
    const gap = gaps[joint.index]!.find(({ from, to }) => depth >= from && depth < to);
    expanded[i] = gap ? 0 : 1;
    if (gap) cause[i] = codeIn(GAP_CAUSES, gap.why);
  }
  return { verdict, expanded, cause };
}

const MET: readonly (readonly [ChannelId, string])[] = [
  ['standpipePressure', 'SPPA'],
  ['rotation', 'RPMA'],
  ['torque', 'TQA'],
  ['hookload', 'HKLA'],
  ['flowIn', 'MFIA'],
];

/** Values of the rows with which the points were passed. */
function metColumns({ samples, worked, units }: ExportInput, rows: Int32Array): LasColumn[] {
  const along = (values: ArrayLike<number>): Float64Array =>
    Float64Array.from(rows, (row) => (row < 0 ? Number.NaN : values[row]!));
  const labelled = (mnemonic: string, description: string, unit: UnitName) => ({
    mnemonic,
    description,
    unit: asciiUnit(unit),
  });
  const workedOut = (mnemonic: string, title: string, quantity: Quantity, decimals: number, values: Float64Array) => {
    const unit = unitOf(quantity, units);
    return {
      ...labelled(mnemonic, title, unit),
      values: along(values),
      text: (value: number) => roundedText(value, unit, decimals),
    };
  };
  return [
    ...MET.map(([id, mnemonic]) => {
      const unit = unitOf(CHANNELS[id].quantity, units);
      return {
        ...labelled(mnemonic, CHANNELS[id].label, unit),
        values: along(samples.channels[CHANNEL_INDEX[id]]!),
        text: (value: number) => exactText(value, unit),
      };
    }),
    workedOut('PTOOL', 'Pressure at tool', 'pressure', 1, worked.toolPressure),
    workedOut('FEED', 'Feed', 'feed', 3, worked.feed),
    workedOut('SETD', 'Set-down', 'force', 2, worked.setDown),
  ];
}

/** Seconds since the first sample. */
function timeColumn({ samples }: ExportInput, rows: Int32Array): LasColumn {
  const startMs = samples.sourceMs[0]!;
  const values = Float64Array.from(rows, (row) => (row < 0 ? Number.NaN : samples.sourceMs[row]! - startMs));
  return {
    mnemonic: 'ETIM',
    unit: 'S',
    description: 'seconds since START when the tool passed',
    values,
    text: (ms) => (ms / 1000).toFixed(3),
  };
}

const codeColumn = (mnemonic: string, description: string, values: ArrayLike<number>): LasColumn => ({
  mnemonic,
  unit: '',
  description,
  values,
  text: String,
});

/** @param input of at least one sample @throws Fault `bad option` for a tool that the plan does not have */
export function* depthLas(input: ExportInput, choice: DepthChoice = {}): Generator<string> {
  const { job, samples, units, joints } = input;
  const { step, decimals } = STEPS[units];
  const grid = gridOf(job, units);
  const at = jointsAt(job, grid);
  const passed = passedPoints(input, grid, at, choice);
  const { verdict, expanded, cause } = judged(input, grid, at);
  const jointCodes = Float32Array.from(at, (joint) => codeIn(joints, job.joints[joint]?.name ?? null));
  const startText = instantText(samples.sourceMs[0]!, job.stream.utcOffsetMs);
  yield* lasFile({
    columns: [
      {
        mnemonic: 'DEPT',
        unit: unitOf('length', units).toUpperCase(),
        description: 'measured depth of the contact of the tool',
        values: Float64Array.from({ length: grid.points }, (_, i) => (grid.firstStep + i) * step),
        text: (depth) => depth.toFixed(decimals),
      },
      timeColumn(input, passed.row),
      codeColumn('TOOL', 'tool', passed.tool),
      codeColumn('PASS', 'which pass of that tool over this depth', passed.pass),
      codeColumn('JOINT', 'joint', jointCodes),
      ...metColumns(input, passed.row),
      codeColumn('EXPD', 'expanded 1, not expanded 0, not to be expanded no value', expanded),
      codeColumn('CAUSE', 'why it is not expanded', cause),
      codeColumn('VERD', 'verdict on the joint', verdict),
    ],
    rows: grid.points,
    step: step.toFixed(decimals),
    well: job.well,
    rig: job.rig,
    date: startText.slice(0, 10).replaceAll('-', ' '),
    parameters: [
      { mnemonic: 'START', data: startText, description: 'instant at which ETIM is 0' },
      { mnemonic: 'RUN', data: input.name, description: 'run' },
      { mnemonic: 'PASSES', data: choice.pass === undefined ? 'last' : String(choice.pass), description: 'pass shown' },
      ...codeLegend(
        'TOOL',
        job.tools.map(({ name }) => name),
      ),
      ...codeLegend('JOINT', joints),
      ...codeLegend('CAUSE', GAP_CAUSES),
      ...codeLegend('VERD', VERDICTS),
    ],
  });
}
