/** A case made a trip: its bytes and its truth. Same case and seed, same bytes. */

import { Driller, MANNER, type Manner } from './driller.ts';
import { type LaidJoint, type Layout, type LayoutOptions, layOut } from './rigLayout.ts';
import { RigScript, random } from './rigScript.ts';
import { printStream, type StreamOptions } from './rigStream.ts';
import { type Truth, truthOf } from './rigTruth.ts';

export type Grade = 'clean' | 'dirty' | 'slow';
export interface Trip {
  readonly layout: Layout;
  readonly bytes: Buffer;
  readonly truth: Truth;
  readonly grade: Grade;
  readonly script: RigScript;
}
export interface Case {
  readonly grade?: Grade;
  readonly layout?: Partial<LayoutOptions>;
  readonly manner?: Partial<Manner>;
  readonly stream?: Partial<StreamOptions>;
  /** Incidents, put on the way before the trip starts. */
  readonly plan?: (d: Driller) => void;
  readonly trip?: (d: Driller) => void;
  readonly startIn?: 'slips' | 'joint';
  /** Silences as seconds after the moment when the end reaches a depth. */
  readonly silent?: (d: Driller) => readonly (readonly [number, number])[];
}

export const LINER = [
  'H9.2',
  'Z7.4:0.9:6.5',
  'B11.9',
  'S11.6:0.6:11.1',
  'S11.6:0.6:11.1',
  'S11.4:0.6:10.9',
  'B11.9',
  'E3',
];
export const QUIET_NOISE = { pressure: 40, hook: 3, torque: 0.3, rpm: 0.4, flow: 4 } as const;

const jointOf = (layout: Layout, name: string): LaidJoint => {
  const joint = layout.joints.find((one) => one.name === name);
  if (!joint) throw new Error(`no joint ${name}`);
  return joint;
};
/** Depth of the end when the joint's tool is `metres` below the start of its part to be expanded (or above its end, if negative). */
export function inJoint(d: Driller, name: string, metres: number): number {
  const joint = jointOf(d.layout, name);
  const tool = d.layout.recipes[joint.kind]!.tools[0]!;
  return (metres >= 0 ? joint.from : joint.to) + metres + d.layout.tools[tool]!;
}

export function build(one: Case, seed: number): Trip {
  const rand = random(seed);
  const layoutOptions: LayoutOptions = {
    units: 'metric',
    streamUnits: 'metric',
    top: 2400 + Math.round(rand() * 5000) / 100,
    joints: LINER,
    upper: 5.4,
    lower: 1.1,
    ...one.layout,
  };
  const layout = layOut(layoutOptions);
  const manner: Manner = { ...MANNER, firstBlock: 12 + rand() * 12, ...one.manner };
  const first = layout.joints.find((j) => layout.recipes[j.kind])!;
  const start = first.from + layout.tools[layout.recipes[first.kind]!.tools[0]!]! - (one.startIn === 'joint' ? -3 : 4);
  const inSlips = one.startIn === 'slips';
  const script = new RigScript({
    depth: start,
    block: manner.firstBlock,
    pressure: 0,
    rpm: 0,
    torque: 0,
    flow: 0,
    slips: inSlips ? 1 : 0,
    hook: inSlips ? manner.slipsHook : manner.blockKn + manner.stringKn,
  });
  const driller = new Driller(script, layout, manner);
  one.plan?.(driller);
  if (inSlips) {
    script.slipsTimes.push(0);
    script.go(60, {});
    script.go(manner.transfer, { hook: driller.weight });
    script.go(0, { slips: 0 });
  }
  (one.trip ?? plainTrip)(driller);
  const silences = one.silent?.(driller) ?? one.stream?.silences ?? [];
  const bytes = printStream(script, {
    units: layoutOptions.streamUnits,
    steps: [1],
    seed,
    depthPrint: 'cm',
    blockPrint: 'same',
    rpmPrint: 'whole',
    noise: QUIET_NOISE,
    ...one.stream,
    silences,
  });
  const truth = truthOf(script, layout, silences);
  return { layout, bytes, truth, grade: one.grade ?? 'clean', script };
}

export function bottomOf(d: Driller): number {
  let end = 0;
  for (const joint of d.layout.joints) {
    for (const tool of d.layout.recipes[joint.kind]?.tools ?? []) end = Math.max(end, joint.to + d.layout.tools[tool]!);
  }
  return end;
}

export function plainTrip(d: Driller): void {
  begin(d);
  d.expandTo(bottomOf(d) + 0.5);
  d.script.quietly(() => {
    d.stopAll();
    d.script.go(40, {});
  });
}

export function begin(d: Driller): void {
  d.script.quietly(() => {
    d.script.go(30, {});
    d.pumps(d.manner.screenKpa);
    d.startTurning();
    d.script.go(10, {});
  });
}

/** When the end first reaches `depth`, s. */
export function whenAt(d: Driller, depth: number): number {
  const read = d.script.reader('depth');
  for (let t = 0; t <= d.script.t; t += 0.5) if (read(t) >= depth) return t;
  throw new Error(`never at ${depth}`);
}
