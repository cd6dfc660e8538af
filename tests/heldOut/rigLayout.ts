/** The liner, tools and recipes of a held-out trip: the plan file, and the same in metres and kPa as the plan says it. */

export interface LaidJoint {
  readonly name: string;
  readonly kind: string;
  readonly top: number;
  readonly bottom: number;
  readonly from: number;
  readonly to: number;
}
export interface LaidRecipe {
  readonly tools: readonly number[];
  readonly min: number;
  readonly max: number;
  readonly rpm: number;
  readonly feed: number;
}
export interface Layout {
  readonly plan: object;
  readonly gapAfter: number;
  readonly joints: readonly LaidJoint[];
  /** Offsets above the end of the string, m. */
  readonly tools: readonly number[];
  readonly recipes: Readonly<Record<string, LaidRecipe>>;
}

export interface LayoutOptions {
  readonly units: 'metric' | 'field';
  readonly streamUnits: 'metric' | 'field';
  readonly top: number;
  /** One word a joint: kind letter and length, then optionally expandFrom and expandTo: `S11.6:0.6:11.1`. */
  readonly joints: readonly string[];
  readonly upper: number;
  readonly lower: number;
  readonly blockWeightKn?: number;
  readonly gapAfter?: number;
  readonly noFeedMax?: boolean;
  readonly noRpm?: boolean;
  readonly noPressureMax?: boolean;
  /** Both kinds are rolled by this one tool. */
  readonly oneTool?: 'upper' | 'lower';
}

/** Exact by definition: the international foot, pound and pound-force. */
const FOOT = 0.3048;
const PSI = 6.894757293168361;
const KLBF = 4.4482216152605;

const KINDS: Record<string, string> = { H: 'hanger', Z: 'isolation', S: 'screen', B: 'blank', E: 'shoe' };

export function layOut(o: LayoutOptions): Layout {
  const field = o.units === 'field';
  const metre = field ? FOOT : 1;
  const kpa = field ? PSI : 1;
  const length = (m: number) => Math.round((m / metre) * 100) / 100;
  const pressure = (p: number) => Math.round(p / kpa);
  const planJoints = o.joints.map((word, i) => {
    const [size, from, to] = word.slice(1).split(':').map(Number);
    return {
      name: `${word[0]}${i + 1}`,
      kind: KINDS[word[0]!]!,
      length: length(size!),
      ...(from === undefined ? {} : { expandFrom: length(from), expandTo: length(to!) }),
    };
  });
  const top = length(o.top);
  let at = top;
  const joints = planJoints.map((joint) => {
    const start = at;
    at += joint.length;
    return {
      name: joint.name,
      kind: joint.kind,
      top: start * metre,
      bottom: at * metre,
      from: (start + (joint.expandFrom ?? 0)) * metre,
      to: (joint.expandTo === undefined ? at : start + joint.expandTo) * metre,
    };
  });
  const tools = [length(o.upper), length(o.lower)];
  const recipe = (tool: 'upper' | 'lower', min: number, max: number, feed: number) => ({
    tools: [o.oneTool ?? tool],
    pressure: { at: 'standpipe', min: pressure(min), ...(o.noPressureMax ? {} : { max: pressure(max) }) },
    ...(o.noRpm ? {} : { rpm: { min: 15 } }),
    ...(o.noFeedMax ? {} : { feed: { max: length(feed) } }),
  });
  const recipes = {
    isolation: recipe('upper', 16000, 22000, 1.6),
    screen: recipe('lower', 7500, 11000, 2.0),
  };
  const laid = (one: ReturnType<typeof recipe>): LaidRecipe => ({
    tools: one.tools.map((name) => (name === 'upper' ? 0 : 1)),
    min: one.pressure.min * kpa,
    max: 'max' in one.pressure ? (one.pressure.max as number) * kpa : Infinity,
    rpm: o.noRpm ? -Infinity : 15,
    feed: o.noFeedMax ? Infinity : length(feed(one)) * metre,
  });
  const feed = (one: ReturnType<typeof recipe>) => (one === recipes.isolation ? 1.6 : 2.0);
  return {
    plan: {
      format: 'jointwise-plan/1',
      units: o.units,
      job: { well: 'held-out', rig: 'held-out' },
      stream: { units: o.streamUnits, ...(o.gapAfter ? { gapAfter: o.gapAfter } : {}) },
      liner: { top, joints: planJoints },
      tools: [
        { name: 'upper', offset: tools[0] },
        { name: 'lower', offset: tools[1] },
      ],
      recipes,
      acceptance: { coverage: 0.97, longestGap: length(0.3) },
      limits: { stall: { feed: length(0.05), seconds: 30 } },
      ...(o.blockWeightKn === undefined
        ? {}
        : { surface: { blockWeight: Math.round((o.blockWeightKn / (field ? KLBF : 1)) * 10) / 10 } }),
    },
    gapAfter: o.gapAfter ?? 5,
    joints,
    tools: tools.map((offset) => offset * metre),
    recipes: { isolation: laid(recipes.isolation), screen: laid(recipes.screen) },
  };
}
