/**
 * A rig whose string really gives: the script says where the tool is, and the end depth and block that are printed are what
 * the surface sees of it, longer by what the set-down presses the string together, and off by an error of depth. Own arithmetic
 * throughout: steel of 30 million psi, the pipe body's area, a rig a little softer than that.
 */
import { Driller, MANNER, type Manner } from './driller.ts';
import { type Layout, type LayoutOptions, layOut } from './rigLayout.ts';
import { type Channel, RigScript, random } from './rigScript.ts';
import { printStream, type StreamOptions } from './rigStream.ts';
import { bottomOf, type Grade, LINER, QUIET_NOISE, type Trip } from './rigTrip.ts';
import { truthOf } from './rigTruth.ts';

/** Drill pipe of 127 × 108.6 mm, and pipe so stout that it hardly gives. */
export const DRILL_PIPE = [{ name: 'drill pipe', length: 6000, od: 127, id: 108.6, mass: 31 }];
export const STOUT_PIPE = [{ name: 'heavy pipe', length: 6000, od: 203.2, id: 76.2, mass: 219 }];

const YOUNG_KPA = 206_842_719;
const SOFTER = 1.05;
const FOOT = 0.3048;
const INCH = 25.4;
const KLBF = 4.4482216152605;

/** m a kN of the drill pipe, as this rig has it. */
export const givesMPerKn = (lengthM: number): number =>
  (SOFTER * lengthM) / (YOUNG_KPA * (Math.PI / 4) * (127 ** 2 - 108.6 ** 2) * 1e-6);

/** The driller's string that turns on its way down hangs so much lighter, kN: that rubs on the wall, and presses nothing. */
const MOVING_DRAG_KN = 8;

/** A set-down that is no rolling: from, most at, gone at, s; kN. */
interface SetDown {
  readonly from: number;
  readonly mostAt: number;
  readonly goneAt: number;
  readonly kn: number;
}

export interface DepthRig {
  readonly driller: Driller;
  readonly script: RigScript;
  readonly layout: Layout;
  /** End depth with the upper tool on the shear device, m. */
  readonly deviceEnd: number;
  readonly gives: number;
  /** When each release was over, s. */
  readonly releases: number[];
  /** Slacks off on something that holds the tool until it lets go at `kn`. */
  shear(kn: number, buildS?: number, releaseS?: number): void;
  /** Slacks off on something that stays, and picks the weight up again. */
  land(kn: number): void;
}

export interface DepthCase {
  readonly grade?: Grade;
  readonly layout?: Partial<LayoutOptions>;
  readonly manner?: Partial<Manner>;
  readonly stream?: Partial<StreamOptions>;
  /** What the reported end depth is more than the true one, m. */
  readonly depthError?: number;
  /** The string gives; else it is rigid. */
  readonly elastic?: boolean;
  /** Parts of the plan beside the layout's, metric. */
  readonly parts?: object;
  readonly plan?: (d: Driller) => void;
  /** Before the first joint; left out: nothing. */
  readonly tag?: (rig: DepthRig) => void;
  readonly trip?: (rig: DepthRig) => void;
}

export interface DepthTrip extends Trip {
  readonly rig: DepthRig;
  /** True depth of the end as a tool feels it, m. */
  readonly trueEnd: (t: number) => number;
}

/** The shear device stands this far above the first part to be expanded, m. */
const DEVICE_ABOVE_M = 2.3;

export function buildDepth(one: DepthCase, seed: number): DepthTrip {
  const rand = random(seed + 900);
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
  const manner: Manner = { ...MANNER, firstBlock: 14 + rand() * 10, ...one.manner };
  const first = layout.joints.find((joint) => joint.kind === 'isolation')!;
  const device = first.from - DEVICE_ABOVE_M;
  const deviceEnd = device + layout.tools[0]!;
  const script = new RigScript({
    depth: deviceEnd - 2,
    block: manner.firstBlock,
    pressure: 0,
    rpm: 0,
    torque: 0,
    flow: 0,
    slips: 0,
    hook: manner.blockKn + manner.stringKn,
  });
  const driller = new Driller(script, layout, manner);
  one.plan?.(driller);
  const setDowns: SetDown[] = [];
  const gives = one.elastic ? givesMPerKn(deviceEnd) : 0;
  const rig = rigOf(driller, layout, deviceEnd, gives, setDowns);
  script.quietly(() => script.go(60, {}));
  if (one.tag) script.quietly(() => one.tag!(rig));
  if (one.trip) one.trip(rig);
  else rollAll(rig);
  const bytes = printStream(seen(rig, setDowns, one.depthError ?? 0), {
    units: layoutOptions.streamUnits,
    steps: [1],
    seed,
    depthPrint: 'cm',
    blockPrint: 'same',
    rpmPrint: 'whole',
    noise: QUIET_NOISE,
    ...one.stream,
  });
  const plan = { ...layout.plan, ...partsIn(layoutOptions.units, device, one.parts ?? {}) };
  return {
    layout: { ...layout, plan },
    bytes,
    truth: truthOf(script, layout, []),
    grade: one.grade ?? 'clean',
    script,
    rig,
    trueEnd: script.reader('depth'),
  };
}

function rigOf(driller: Driller, layout: Layout, deviceEnd: number, gives: number, setDowns: SetDown[]): DepthRig {
  const { script } = driller;
  const releases: number[] = [];
  return {
    driller,
    script,
    layout,
    deviceEnd,
    gives,
    releases,
    shear(kn, buildS = 14, releaseS = 1.5) {
      const from = script.t;
      const hook = script.now.hook;
      script.go(buildS, { hook: hook - kn });
      // The tool springs down by what the string was pressed together; the block stands.
      const by = gives * kn;
      script.go(releaseS, { hook, depth: script.now.depth + by, block: script.now.block - by });
      setDowns.push({ from, mostAt: from + buildS, goneAt: script.t, kn });
      releases.push(script.t);
      script.go(15, { hook: driller.weight }, { hook: 2 });
    },
    land(kn) {
      const from = script.t;
      const hook = script.now.hook;
      script.go(12, { hook: hook - kn });
      script.go(90, {});
      setDowns.push({ from, mostAt: from + 12, goneAt: script.t, kn });
      // Picked up at 3 m/min until the weight hangs again, and on.
      script.run(script.now.depth - 0.4, 3, { hook: driller.weight }, { hook: 4 });
      script.go(20, {});
    },
  };
}

/** Down to the device without rotation, with drag. */
export function runToDevice(rig: DepthRig, short = 0): void {
  const { script, driller, deviceEnd } = rig;
  script.run(deviceEnd - short, 1.5, { hook: driller.weight - Math.min(15, driller.drag) }, { hook: 2 });
}

export function rollAll({ driller: d }: DepthRig): void {
  const { script } = d;
  script.quietly(() => {
    script.go(20, {});
    d.pumps(d.manner.screenKpa);
    d.startTurning();
    script.go(20, {});
  });
  d.expandTo(bottomOf(d) + 0.5);
  script.quietly(() => {
    d.stopAll();
    script.go(40, {});
  });
}

/** What is set down now: on the rollers while the string turns out of slips, and in the spells without rotation. */
function setDownAt(rig: DepthRig, setDowns: readonly SetDown[]): (t: number) => number {
  const [hook, rpm, slips] = (['hook', 'rpm', 'slips'] as const).map((c) => rig.script.reader(c)) as [
    (t: number) => number,
    (t: number) => number,
    (t: number) => number,
  ];
  return (t) => {
    for (const { from, mostAt, goneAt, kn } of setDowns) {
      if (t < from || t >= goneAt) continue;
      if (t < mostAt) return (kn * (t - from)) / (mostAt - from);
      return goneAt - mostAt > 10 ? kn : (kn * (goneAt - t)) / (goneAt - mostAt);
    }
    return rpm(t) > 1 && slips(t) < 0.5 ? Math.max(0, rig.driller.weight - MOVING_DRAG_KN - hook(t)) : 0;
  };
}

/** The script as the surface sees it. */
function seen(rig: DepthRig, setDowns: readonly SetDown[], depthError: number): RigScript {
  const { script, gives } = rig;
  const printed = Object.create(script) as RigScript;
  printed.reader = (channel: Channel) => {
    const read = script.reader(channel);
    if (channel !== 'depth' && channel !== 'block') return read;
    const setDown = setDownAt(rig, setDowns);
    return channel === 'depth' ? (t) => read(t) + gives * setDown(t) + depthError : (t) => read(t) - gives * setDown(t);
  };
  return printed;
}

interface Parts {
  readonly string?: typeof DRILL_PIPE;
  readonly depthTag?: { readonly least: number; readonly window: number };
}

/** The parts in the plan's units; a depth tag is that of the device, for the upper tool. */
function partsIn(units: 'metric' | 'field', device: number, { string, depthTag }: Parts): object {
  const field = units === 'field';
  const metre = field ? FOOT : 1;
  const mm = field ? INCH : 1;
  return {
    ...(string && {
      string: string.map(({ name, length, od, id, mass }) => ({
        name,
        length: length / metre,
        od: od / mm,
        id: id / mm,
        mass: field ? mass / 1.48816394 : mass,
      })),
    }),
    ...(depthTag && {
      depthTag: {
        depth: device / metre,
        tool: 'upper',
        setDown: { min: depthTag.least / (field ? KLBF : 1) },
        window: depthTag.window / metre,
      },
    }),
  };
}
