/** A plan made ready to work with: every number in its inside unit, every joint at its depth, every name resolved. */
import { timeProblems } from '../time/timeProblems.ts';
import { converter, type UnitSystem } from '../units.ts';
import { compileEngineering, type Engineering } from './engineering.ts';
import { engineeringProblems } from './engineeringProblems.ts';
import type { ChannelMapping, ExpandedKind, JointKind, Plan, PlanRecipe } from './planSchema.ts';

export interface Recipe {
  readonly kind: ExpandedKind;
  /** Indices into `Job.tools`. */
  readonly tools: readonly number[];
  /** Which pressure its bounds are about. */
  readonly pressureAt: 'standpipe' | 'tool';
  /** Bounds that the plan leaves out are infinite, so that they never apply. */
  readonly pressureMinKpa: number;
  readonly pressureMaxKpa: number;
  readonly rpmMin: number;
  readonly feedMaxMPerMin: number;
  /** m a revolution. */
  readonly feedPerTurnMaxM: number;
  readonly torqueMaxKnm: number;
}

export interface Joint {
  readonly index: number;
  readonly name: string;
  readonly kind: JointKind;
  readonly zone: string | undefined;
  /** Measured depths, m. */
  readonly top: number;
  readonly bottom: number;
  /** The part to be expanded, half-open [from, to), m; from = to where nothing is to be expanded. */
  readonly from: number;
  readonly to: number;
  readonly requiredM: number;
  readonly recipe: Recipe | undefined;
  /** Outside diameters before and after expansion, and thickness of the elastomer, mm; NaN where the plan does not say. */
  readonly odMm: number;
  readonly expandedOdMm: number;
  readonly elastomerMm: number;
}

export interface Tool {
  readonly index: number;
  readonly name: string;
  /** Rolling contact above the end of the string, m. */
  readonly offsetM: number;
  /** Hole that the rollers can follow, inside diameter, mm; undefined where the plan does not say. */
  readonly rangeMm: { readonly min: number; readonly max: number } | undefined;
}

export interface Job {
  readonly units: UnitSystem;
  readonly well: string;
  readonly rig: string;
  readonly stream: {
    readonly units: UnitSystem;
    readonly utcOffsetMs: number;
    readonly nulls: readonly number[];
    readonly gapAfterMs: number;
    readonly channels: Readonly<Record<string, ChannelMapping>>;
  };
  readonly joints: readonly Joint[];
  readonly tools: readonly Tool[];
  readonly recipes: { readonly isolation: Recipe | undefined; readonly screen: Recipe | undefined };
  readonly acceptance: { readonly coverage: number; readonly longestGapM: number };
  readonly stall: { readonly feedMPerMin: number; readonly ms: number } | undefined;
  readonly blockWeightKn: number | undefined;
  readonly requiredM: number;
  readonly engineering: Engineering;
}

/** Something in a plan that parses and still cannot be meant: where, and what was expected. */
export interface PlanProblem {
  readonly path: string;
  readonly text: string;
}

export const DEFAULT_NULLS: readonly number[] = [-999.25, -9999, -8888];
export const DEFAULT_GAP_AFTER_S = 5;

/** Rounding of sums of joint lengths: depths are kept to a hundredth of a millimetre. */
const toDepthGrid = (m: number): number => Math.round(m * 1e5) / 1e5;

/** @param utcOffset as `stream.utcOffset` of a plan, `+01:00` */
export function offsetMs(utcOffset: string): number {
  const sign = utcOffset.startsWith('-') ? -1 : 1;
  const hours = Number(utcOffset.slice(1, 3));
  const minutes = Number(utcOffset.slice(4, 6));
  return sign * (hours * 60 + minutes) * 60_000;
}

/** What the schema cannot say: names that resolve, ranges that are ranges. Empty when the plan makes sense. */
export function planProblems(plan: Plan): PlanProblem[] {
  const problems: PlanProblem[] = [];
  const add = (path: string, text: string) => problems.push({ path, text });
  const tools = new Set<string>();
  plan.tools.forEach((tool, i) => {
    if (tools.has(tool.name)) add(`tools[${i}].name`, `found "${tool.name}" twice, expected each tool once`);
    tools.add(tool.name);
  });
  const names = new Set<string>();
  plan.liner.joints.forEach((joint, i) => {
    const at = `liner.joints[${i}]`;
    if (names.has(joint.name)) add(`${at}.name`, `found "${joint.name}" twice, expected each joint once`);
    names.add(joint.name);
    const from = joint.expandFrom ?? 0;
    const to = joint.expandTo ?? joint.length;
    if (to > joint.length + 1e-9) {
      add(`${at}.expandTo`, `found ${to} in "${joint.name}", expected at most its length ${joint.length}`);
    }
    if (from >= to) add(`${at}.expandFrom`, `found ${from} in "${joint.name}", expected less than ${to}`);
    if ((joint.kind === 'isolation' || joint.kind === 'screen') && !plan.recipes[joint.kind]) {
      add(`recipes.${joint.kind}`, `found nothing, expected a recipe for "${joint.name}"`);
    }
  });
  for (const kind of ['isolation', 'screen'] as const) {
    const recipe = plan.recipes[kind];
    if (!recipe) continue;
    recipe.tools.forEach((tool, i) => {
      if (!tools.has(tool)) {
        add(`recipes.${kind}.tools[${i}]`, `found "${tool}", expected one of ${[...tools].join(', ')}`);
      }
    });
    const { min, max } = recipe.pressure ?? {};
    if (min !== undefined && max !== undefined && min > max) {
      add(`recipes.${kind}.pressure`, `found min ${min} over max ${max}, expected min at most max`);
    }
  }
  problems.push(...engineeringProblems(plan));
  problems.push(...timeProblems(plan.time ?? {}));
  return problems;
}

/**
 * Makes a plan ready. `plan` must have no `planProblems`.
 * @param extraChannels a channel map from a file of its own; wins over the plan's, item by item.
 */
export function compileJob(plan: Plan, extraChannels: Record<string, ChannelMapping> = {}): Job {
  const units = converter(plan.units);
  const tools = plan.tools.map((tool, index) => ({
    index,
    name: tool.name,
    offsetM: units.in('length', tool.offset),
    rangeMm: tool.range && {
      min: units.in('diameter', tool.range.min),
      max: units.in('diameter', tool.range.max),
    },
  }));
  const recipe = (kind: ExpandedKind, from: PlanRecipe | undefined): Recipe | undefined =>
    from && {
      kind,
      tools: from.tools.map((name) => tools.findIndex((tool) => tool.name === name)),
      pressureAt: from.pressure?.at ?? 'standpipe',
      pressureMinKpa: from.pressure?.min === undefined ? -Infinity : units.in('pressure', from.pressure.min),
      pressureMaxKpa: from.pressure?.max === undefined ? Infinity : units.in('pressure', from.pressure.max),
      rpmMin: from.rpm?.min ?? -Infinity,
      feedMaxMPerMin: from.feed?.max === undefined ? Infinity : units.in('feed', from.feed.max),
      feedPerTurnMaxM:
        from.feedPerTurn?.max === undefined ? Infinity : units.in('diameter', from.feedPerTurn.max) / 1000,
      torqueMaxKnm: from.torque?.max === undefined ? Infinity : units.in('torque', from.torque.max),
    };
  const recipes = {
    isolation: recipe('isolation', plan.recipes.isolation),
    screen: recipe('screen', plan.recipes.screen),
  };
  const millimetres = (value: number | undefined): number =>
    value === undefined ? Number.NaN : units.in('diameter', value);
  let top = units.in('length', plan.liner.top);
  const joints = plan.liner.joints.map((joint, index): Joint => {
    const start = toDepthGrid(top);
    const bottom = toDepthGrid(start + units.in('length', joint.length));
    top = bottom;
    const expands = joint.kind === 'isolation' || joint.kind === 'screen';
    const from = toDepthGrid(start + units.in('length', joint.expandFrom ?? 0));
    const to = joint.expandTo === undefined ? bottom : toDepthGrid(start + units.in('length', joint.expandTo));
    return {
      index,
      name: joint.name,
      kind: joint.kind,
      zone: joint.zone,
      top: start,
      bottom,
      from: expands ? from : start,
      to: expands ? to : start,
      requiredM: expands ? toDepthGrid(to - from) : 0,
      recipe: expands ? recipes[joint.kind as ExpandedKind] : undefined,
      odMm: millimetres(joint.od),
      expandedOdMm: millimetres(joint.expandedOd),
      elastomerMm: millimetres(joint.elastomer?.thickness),
    };
  });
  const stall = plan.limits?.stall;
  return {
    units: plan.units,
    well: plan.job?.well ?? '',
    rig: plan.job?.rig ?? '',
    stream: {
      units: plan.stream?.units ?? plan.units,
      utcOffsetMs: offsetMs(plan.stream?.utcOffset ?? '+00:00'),
      nulls: plan.stream?.nulls ?? DEFAULT_NULLS,
      gapAfterMs: (plan.stream?.gapAfter ?? DEFAULT_GAP_AFTER_S) * 1000,
      channels: { ...plan.stream?.channels, ...extraChannels },
    },
    joints,
    tools,
    recipes,
    acceptance: {
      coverage: plan.acceptance?.coverage ?? 0,
      longestGapM:
        plan.acceptance?.longestGap === undefined ? Infinity : units.in('length', plan.acceptance.longestGap),
    },
    stall: stall && { feedMPerMin: units.in('feed', stall.feed), ms: stall.seconds * 1000 },
    blockWeightKn: plan.surface?.blockWeight === undefined ? undefined : units.in('force', plan.surface.blockWeight),
    requiredM: joints.reduce((sum, joint) => sum + joint.requiredM, 0),
    engineering: compileEngineering(plan, units),
  };
}
