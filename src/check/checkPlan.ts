/** A plan worked out before the trip: the roadmap, what stands behind it, and what speaks against it. */

import { CAUTION } from '../caution.ts';
import type { BallMoment } from '../engineering/ballTravel.ts';
import type { Circulation } from '../engineering/circulation.ts';
import { inUnits } from '../measuredText.ts';
import type { Job } from '../plan/job.ts';
import { EXPANDED_KINDS } from '../plan/planSchema.ts';
import { converter } from '../units.ts';
import type { BallStep } from './ballSteps.ts';
import type { CheckBasis, CheckOptions } from './checkBasis.ts';
import { defaultsInUnits } from './checkDefaults.ts';
import { CHECK_FORMAT, type Check, type RoadmapRow } from './checkSchema.ts';
import { type CheckWork, type Leg, workOut } from './checkWork.ts';
import { asShare, type Figures, figuresIn, plain } from './figures.ts';
import { findingsOf } from './findings.ts';
import type { FluidCheck } from './fluidCheck.ts';
import type { HoleCheck } from './holeCheck.ts';
import { PATH_OF } from './targets.ts';

/**
 * Works a plan out. Pure: equal plans and logs make equal checks, to the byte. What the plan leaves out is null in the
 * check and a finding; nothing in a plan without `planProblems` makes it fail.
 */
export function checkPlan(job: Job, options: CheckOptions = {}): Check {
  const units = converter(job.units);
  const figures = figuresIn(units);
  const work = workOut(job, options);
  return {
    format: CHECK_FORMAT,
    units: job.units,
    job: { well: job.well, rig: job.rig },
    roadmap: work.legs.map((leg) => rowOf(leg, work.basis, figures)),
    findings: findingsOf(work),
    hydraulics: { rheology: rheologyOf(work.basis), circulations: circulationsOf(work, figures) },
    balls: work.balls.map((step) => ballOf(step, figures)),
    hole: work.hole ? holeOf(work.hole, figures) : null,
    fluid: work.fluid ? fluidOf(work.fluid, job, figures) : null,
    defaults: defaultsInUnits(work.basis.defaults, units),
    caution: CAUTION,
  };
}

function rowOf({ target, hydraulics, weights, pumpingStretchM }: Leg, basis: CheckBasis, figures: Figures): RoadmapRow {
  const { of, maybe } = figures;
  const { joint, kind, recipe, tool, depthM, endDepthM, aimKpa } = target;
  const place = basis.path.at(endDepthM);
  const { weightStretchM, thermalStretchM } = weights;
  const warm = Number.isNaN(thermalStretchM) ? 0 : thermalStretchM;
  return {
    joint: joint.name,
    kind,
    depth: of('length', depthM),
    flow: maybe('flow', hydraulics.flowLPerMin),
    tool: maybe('pressure', hydraulics.toolKpa),
    standpipe: maybe('pressure', hydraulics.standpipeKpa),
    hookload: {
      up: maybe('force', weights.upKn),
      down: maybe('force', weights.downKn),
      rotating: maybe('force', weights.rotatingKn),
    },
    torque: maybe('torque', weights.torqueKnm),
    stretch: maybe('length', weightStretchM + warm),
    rollsWith: tool.name,
    window: {
      at: recipe.pressureAt,
      min: maybe('pressure', recipe.pressureMinKpa),
      max: maybe('pressure', recipe.pressureMaxKpa),
      aim: maybe('pressure', aimKpa),
    },
    path: basis.job.engineering.flowPath ? PATH_OF[kind] : null,
    endDepth: of('length', endDepthM),
    tvd: of('length', place.tvd),
    inclination: plain(place.inclination),
    ecd: maybe('density', hydraulics.ecdKgPerM3),
    stretchParts: {
      weight: maybe('length', weightStretchM),
      temperature: maybe('length', thermalStretchM),
      pressure: maybe('length', pumpingStretchM),
      perTenPull: maybe('length', weights.perTenPullM),
    },
    setDown: { available: maybe('force', weights.setDownKn), until: weights.setDownEnds ?? null },
  };
}

function rheologyOf({ rheology }: CheckBasis): Check['hydraulics']['rheology'] {
  if (rheology?.kind !== 'fitted') return null;
  const known = (value: number | undefined): number | null => (value === undefined ? null : plain(value));
  const { field } = rheology;
  return {
    fits: rheology.fits.map(({ curve, rmsDegrees, rmsShare }) => ({
      model: curve.model,
      yield: plain(curve.yieldPa),
      consistency: asShare(curve.consistencyPaSn),
      n: asShare(curve.n),
      residual: plain(rmsDegrees),
      residualShare: asShare(rmsShare),
    })),
    chosen: rheology.chosen.curve.model,
    chosenBy: rheology.chosenBy,
    figures: {
      plasticViscosity: known(field.plasticViscosityCp),
      yieldPoint: known(field.yieldPointLbfPer100Ft2),
      n: known(field.n),
      k: known(field.consistencyEqCp),
    },
  };
}

/** One for each kind, at its deepest joint. */
function circulationsOf({ legs }: CheckWork, figures: Figures): Check['hydraulics']['circulations'] {
  return EXPANDED_KINDS.flatMap((kind) => {
    const leg = legs.filter(({ target }) => target.kind === kind).at(-1);
    const circulation = leg?.hydraulics.circulation;
    return leg && circulation ? [circulationOf(leg, circulation, figures)] : [];
  });
}

function circulationOf(
  { target, hydraulics }: Leg,
  circulation: Circulation,
  { of, maybe }: Figures,
): Check['hydraulics']['circulations'][number] {
  return {
    kind: target.kind,
    joint: target.joint.name,
    endDepth: of('length', target.endDepthM),
    flow: of('flow', hydraulics.flowLPerMin),
    path: PATH_OF[target.kind],
    standpipe: of('pressure', circulation.standpipeKpa),
    insideLoss: of('pressure', circulation.pipeLossKpa),
    tool: of('pressure', circulation.toolDropKpa),
    annulusLoss: of('pressure', circulation.annulusLossKpa),
    ecd: maybe('density', circulation.ecdKgPerM3),
    sections: circulation.perSection.map((section) => ({
      where: section.passage.kind === 'pipe' ? ('inside' as const) : ('annulus' as const),
      from: of('length', section.fromM),
      to: of('length', section.toM),
      velocity: plain(section.velocityMPerS),
      regime: section.regime,
      loss: of('pressure', section.lossKpa),
    })),
  };
}

function ballOf({ ball, endDepthM, travel }: BallStep, { of, maybe }: Figures): Check['balls'][number] {
  const moment = ({ volumeM3, strokes, minutes }: BallMoment) => ({
    volume: of('volume', volumeM3),
    strokes: maybe('count', strokes),
    minutes: plain(minutes),
  });
  return {
    name: ball.name,
    purpose: ball.purpose,
    depth: of('length', ball.seatM),
    stringEnd: of('length', endDepthM),
    flow: of('flow', ball.flowLPerMin),
    slowFlow: of('flow', ball.slowFlowLPerMin),
    slow: moment(travel.slowDown),
    seat: moment(travel.seat),
    overdue: moment(travel.overdue),
  };
}

function holeOf(hole: HoleCheck, { of, maybe }: Figures): NonNullable<Check['hole']> {
  return {
    log: { from: of('length', hole.log.fromM), to: of('length', hole.log.toM), rows: hole.log.rows },
    joints: hole.joints.map(({ target, fit }) => ({
      joint: fit.name,
      kind: target.kind,
      from: of('length', target.joint.from),
      to: of('length', target.joint.to),
      range: { min: of('diameter', target.tool.rangeMm!.min), max: of('diameter', target.tool.rangeMm!.max) },
      inGauge: asShare(fit.inGauge),
      overGauge: asShare(fit.overGauge),
      tight: asShare(fit.tight),
      noLog: asShare(fit.noLog),
      contact: Number.isNaN(fit.contact) ? null : asShare(fit.contact),
      gap: Number.isNaN(fit.meanGapMm)
        ? null
        : { mean: of('diameter', fit.meanGapMm), widest: of('diameter', fit.widestGapMm) },
      squeeze: fit.squeeze && {
        mean: asShare(fit.squeeze.mean),
        least: asShare(fit.squeeze.least),
        most: asShare(fit.squeeze.most),
      },
      closed: fit.noLog >= 1 ? null : maybe('volume', fit.closedM3),
    })),
    spaceOut: hole.spaceOut
      ? {
          reach: of('length', hole.reachM),
          step: of('length', hole.stepM),
          shift: of('length', hole.spaceOut.shiftM),
          inGauge: of('length', hole.spaceOut.inGaugeM),
          asPlanned: of('length', hole.spaceOut.asPlannedM),
          length: of('length', hole.spaceOut.lengthM),
          curve: hole.spaceOut.curve.map(([shiftM, inGaugeM]) => {
            return { shift: of('length', shiftM), inGauge: of('length', inGaugeM) };
          }),
        }
      : null,
  };
}

function fluidOf({ tests, rule, judgement }: FluidCheck, job: Job, { of }: Figures): NonNullable<Check['fluid']> {
  return {
    verdict: judgement?.verdict ?? 'no rule',
    reason: judgement ? inUnits(judgement.reason, job.units) : 'screenTests.rule is not given',
    inARow: judgement?.inARow ?? 0,
    repeats: rule?.repeats ?? null,
    rule: rule?.source ?? null,
    tests: tests.map(({ atMs, litres, seconds, coupon, passed }) => ({
      at: new Date(atMs).toISOString(),
      volume: of('sampleVolume', litres),
      seconds,
      coupon,
      result: passed ? ('passed' as const) : ('plugged' as const),
    })),
  };
}
