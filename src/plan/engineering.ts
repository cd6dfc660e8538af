/** The engineering part of a plan made ready: every number in its inside unit, every default written down. */
import type { UnitSystemConverter } from '../units.ts';
import { type DefaultPlace, PLAN_DEFAULTS } from './defaults.ts';
import type { BALL_PURPOSES, RheologyName } from './engineeringSchema.ts';
import type { Plan } from './planSchema.ts';

export interface Fluid {
  readonly densityKgPerM3: number;
  /** Viscometer readings, degrees, fastest first. */
  readonly dials: readonly { readonly rpm: number; readonly degrees: number }[];
  readonly model: RheologyName | undefined;
}

/** From the surface down. */
export interface StringPart {
  readonly name: string;
  readonly lengthM: number;
  readonly odMm: number;
  readonly idMm: number;
  /** In air. */
  readonly massKgPerM: number;
  /** Outside diameter that touches the wall. */
  readonly contactMm: number;
}

export interface HolePart {
  readonly fromM: number;
  readonly toM: number;
  readonly idMm: number;
  readonly friction: number;
}

export interface Station {
  readonly mdM: number;
  readonly inclinationDeg: number;
  readonly azimuthDeg: number;
}

export interface Pump {
  readonly name: string;
  /** Efficiency taken off. */
  readonly litresPerStroke: number;
}

export interface FlowPath {
  readonly shiftsAtLPerMin: number;
  readonly dischargeCoefficient: number;
  readonly lowAreaMm2: number;
  readonly highAreaMm2: number;
}

export interface DepthTag {
  readonly depthM: number;
  /** Index into `Job.tools`. */
  readonly tool: number;
  readonly setDownMinKn: number;
  readonly windowM: number;
  /** 1σ of the same tag done again. */
  readonly repeatabilityM: number;
}

export interface Ball {
  readonly name: string;
  readonly purpose: (typeof BALL_PURPOSES)[number];
  readonly seatM: number;
  readonly flowLPerMin: number;
  readonly slowBeforeM3: number;
  readonly slowFlowLPerMin: number;
  readonly overdueAfterM3: number;
}

export interface PressureStep {
  readonly name: string;
  readonly pressureKpa: number;
  readonly holdMs: number;
  readonly shears: boolean;
}

export interface Hanger {
  readonly steps: readonly PressureStep[];
  readonly pull: { readonly upKn: number; readonly downKn: number; readonly residualM: number } | undefined;
  readonly annulusTest:
    | {
        readonly pressureKpa: number;
        readonly holdMs: number;
        readonly stabilisedKpaPerMin: number;
        readonly maxDeclineShare: number;
        readonly rule: string;
      }
    | undefined;
  readonly linerWeightKn: number | undefined;
}

export interface ScreenTestRule {
  readonly litres: number | undefined;
  readonly seconds: number | undefined;
  readonly growthShare: number | undefined;
  readonly repeats: number;
  readonly source: string;
}

export interface ScreenTest {
  readonly atMs: number;
  readonly litres: number;
  readonly seconds: number;
  readonly coupon: string;
  readonly passed: boolean;
}

/** A bound that is not judged is infinite. */
export interface EngineeringLimits {
  readonly hookloadMaxKn: number;
  readonly standpipeMaxKpa: number;
  readonly ecdMaxKgPerM3: number;
  readonly overpullMaxKn: number;
  readonly setDownMaxKn: number;
  readonly dwellMs: number;
  readonly stationaryMs: number;
  /** 0: not judged. */
  readonly overlapMinM: number;
  readonly connectionPressureMaxKpa: number;
  readonly tankGainM3: number;
  readonly tankLossM3: number;
  readonly flowDifferenceShare: number;
  readonly driftShare: number;
  readonly pumpMismatchShare: number;
  readonly stickSlipShare: number;
}

export interface Engineering {
  readonly fluid: Fluid | undefined;
  /** Empty: not given. */
  readonly string: readonly StringPart[];
  readonly hole: readonly HolePart[];
  /** Empty: vertical. */
  readonly survey: readonly Station[];
  readonly pumps: readonly Pump[];
  readonly flowPath: FlowPath | undefined;
  readonly depthTag: DepthTag | undefined;
  readonly temperature: { readonly talliedC: number; readonly surfaceC: number; readonly bottomC: number } | undefined;
  readonly balls: readonly Ball[];
  readonly hanger: Hanger | undefined;
  readonly screenTests:
    | { readonly rule: ScreenTestRule | undefined; readonly tests: readonly ScreenTest[] }
    | undefined;
  readonly limits: EngineeringLimits;
  /** The defaults that stand in for what the plan leaves out, in the order of the plan. */
  readonly defaults: readonly DefaultPlace[];
}

const MS_PER_MINUTE = 60_000;

/** Makes the engineering part ready. `plan` must have no `planProblems`. */
export function compileEngineering(plan: Plan, units: UnitSystemConverter): Engineering {
  const used = new Set<DefaultPlace>();
  const orDefault = (place: DefaultPlace, given: number | undefined): number => {
    if (given !== undefined) return given;
    used.add(place);
    return PLAN_DEFAULTS[place].value;
  };
  const given = (quantity: Parameters<UnitSystemConverter['in']>[0], value: number | undefined): number | undefined =>
    value === undefined ? undefined : units.in(quantity, value);
  const limits = limitsOf(plan, given, orDefault);
  const pumps = plan.surface?.pumps ?? [];
  return {
    fluid: plan.fluid && {
      densityKgPerM3: units.in('density', plan.fluid.density),
      dials: Object.entries(plan.fluid.dials ?? {})
        .map(([rpm, degrees]) => ({ rpm: Number(rpm), degrees }))
        .sort((a, b) => b.rpm - a.rpm),
      model: plan.fluid.model,
    },
    string: (plan.string ?? []).map((part, i) => ({
      name: part.name ?? `section ${i + 1}`,
      lengthM: units.in('length', part.length),
      odMm: units.in('diameter', part.od),
      idMm: units.in('diameter', part.id),
      massKgPerM: units.in('massPerLength', part.mass),
      contactMm: units.in('diameter', part.toolJoint ?? part.od),
    })),
    hole: (plan.hole ?? []).map((part) => ({
      fromM: units.in('length', part.from),
      toM: units.in('length', part.to),
      idMm: units.in('diameter', part.id),
      friction: part.friction,
    })),
    survey: (plan.survey ?? []).map((station) => ({
      mdM: units.in('length', station.md),
      inclinationDeg: station.inclination,
      azimuthDeg: station.azimuth,
    })),
    pumps: pumps.map((pump) => ({
      name: pump.name,
      litresPerStroke:
        units.in('strokeVolume', pump.displacement) * orDefault('surface.pumps.efficiency', pump.efficiency),
    })),
    flowPath: plan.flowPath && {
      shiftsAtLPerMin: units.in('flow', plan.flowPath.shiftsAt),
      dischargeCoefficient: plan.flowPath.dischargeCoefficient,
      lowAreaMm2: units.in('area', plan.flowPath.low.area),
      highAreaMm2: units.in('area', plan.flowPath.high.area),
    },
    depthTag: plan.depthTag && {
      depthM: units.in('length', plan.depthTag.depth),
      tool: plan.tools.findIndex((tool) => tool.name === plan.depthTag!.tool),
      setDownMinKn: units.in('force', plan.depthTag.setDown.min),
      windowM: units.in('length', plan.depthTag.window),
      repeatabilityM: orDefault('depthTag.repeatability', given('length', plan.depthTag.repeatability)),
    },
    temperature: plan.temperature && {
      talliedC: units.in('temperature', plan.temperature.tallied),
      surfaceC: units.in('temperature', plan.temperature.surface),
      bottomC: units.in('temperature', plan.temperature.bottom),
    },
    balls: (plan.balls ?? []).map((ball) => ({
      name: ball.name,
      purpose: ball.purpose,
      seatM: units.in('length', ball.seat),
      flowLPerMin: units.in('flow', ball.flow),
      slowBeforeM3: orDefault('balls.slowBefore', given('volume', ball.slowBefore)),
      slowFlowLPerMin: orDefault('balls.slowFlow', given('flow', ball.slowFlow)),
      overdueAfterM3: orDefault('balls.overdueAfter', given('volume', ball.overdueAfter)),
    })),
    hanger: hangerOf(plan, units),
    screenTests: screenTestsOf(plan, units),
    limits,
    defaults: [...used],
  };
}

type Given = (quantity: Parameters<UnitSystemConverter['in']>[0], value: number | undefined) => number | undefined;

function limitsOf(
  plan: Plan,
  given: Given,
  orDefault: (place: DefaultPlace, value: number | undefined) => number,
): EngineeringLimits {
  const limits = plan.limits ?? {};
  const hasTwoPressures = plan.flowPath !== undefined && plan.fluid !== undefined && plan.string !== undefined;
  return {
    hookloadMaxKn: given('force', limits.hookload?.max) ?? Infinity,
    standpipeMaxKpa: given('pressure', limits.standpipe?.max) ?? Infinity,
    ecdMaxKgPerM3: given('density', limits.ecd?.max) ?? Infinity,
    overpullMaxKn: given('force', limits.overpull?.max) ?? Infinity,
    setDownMaxKn: given('force', limits.setDown?.max) ?? Infinity,
    dwellMs: (limits.dwell?.seconds ?? Infinity) * 1000,
    stationaryMs: (limits.stationary?.seconds ?? Infinity) * 1000,
    overlapMinM: given('length', limits.overlap?.min) ?? 0,
    connectionPressureMaxKpa: given('pressure', limits.atConnection?.pressure) ?? Infinity,
    tankGainM3: orDefault('limits.tanks.gain', given('volume', limits.tanks?.gain)),
    tankLossM3: orDefault('limits.tanks.loss', given('volume', limits.tanks?.loss)),
    flowDifferenceShare: orDefault('limits.flowDifference.share', limits.flowDifference?.share),
    driftShare: hasTwoPressures ? orDefault('limits.drift.share', limits.drift?.share) : Infinity,
    pumpMismatchShare:
      (plan.surface?.pumps ?? []).length > 0
        ? orDefault('limits.pumpMismatch.share', limits.pumpMismatch?.share)
        : Infinity,
    stickSlipShare: orDefault('limits.stickSlip.share', limits.stickSlip?.share),
  };
}

function hangerOf(plan: Plan, units: UnitSystemConverter): Hanger | undefined {
  const { hanger } = plan;
  if (!hanger) return undefined;
  const test = hanger.annulusTest;
  return {
    steps: (hanger.steps ?? []).map((step) => ({
      name: step.name,
      pressureKpa: units.in('pressure', step.pressure),
      holdMs: step.hold * MS_PER_MINUTE,
      shears: step.shears ?? false,
    })),
    pull: hanger.pull && {
      upKn: units.in('force', hanger.pull.up),
      downKn: units.in('force', hanger.pull.down),
      residualM: units.in('length', hanger.pull.residual),
    },
    annulusTest: test && {
      pressureKpa: units.in('pressure', test.pressure),
      holdMs: test.hold * MS_PER_MINUTE,
      stabilisedKpaPerMin: units.in('pressure', test.stabilised),
      maxDeclineShare: test.maxDecline,
      rule: test.rule,
    },
    linerWeightKn: hanger.linerWeight === undefined ? undefined : units.in('force', hanger.linerWeight),
  };
}

function screenTestsOf(plan: Plan, units: UnitSystemConverter): Engineering['screenTests'] {
  const { screenTests } = plan;
  if (!screenTests) return undefined;
  const { rule } = screenTests;
  return {
    rule: rule && {
      litres: rule.volume === undefined ? undefined : units.in('sampleVolume', rule.volume),
      seconds: rule.seconds,
      growthShare: rule.growth,
      repeats: rule.repeats,
      source: rule.source ?? 'the plan',
    },
    tests: screenTests.tests.map((test) => ({
      atMs: Date.parse(test.at),
      litres: units.in('sampleVolume', test.volume),
      seconds: test.seconds,
      coupon: test.coupon,
      passed: test.result === 'passed',
    })),
  };
}
