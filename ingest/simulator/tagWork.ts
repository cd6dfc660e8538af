/** The depth tag: down to the shear device, weight slacked off on it until it shears, and a moment to see where that was. */
import { brakingM, type Floor, halt, moveTo, type Work, wait, waitUntil } from './floor.ts';

/** The device is met from this far above it, at this speed, m and m/min. */
const APPROACH_M = 0.4;
const SLACK_OFF_M_PER_MIN = 0.8;
/** A device that has not sheared after this long is left alone, s. */
const SHEARS_WITHIN_S = 300;
const LOOK_S = 30;

/** `scenarioProblems` sees to it that the plan has a device. */
export function* tagDepth(floor: Floor): Work {
  const { rig, truth, scenario } = floor;
  const tag = rig.job.engineering.depthTag!;
  const endDepth = tag.depthM + rig.job.tools[tag.tool]!.offsetM;
  const shearsAtKn = tag.setDownMinKn * scenario.tag!.share;
  truth.phase = 'running in';
  const speed = scenario.driller.travelSpeed / 2;
  yield* moveTo(rig, endDepth - APPROACH_M - brakingM(speed), speed);
  yield* wait(20);
  truth.phase = 'tagging depth';
  const fromMs = rig.state.timeMs;
  const device = { endDepth, shearsAtKn, shearedMs: Number.NaN };
  rig.troubles.device = device;
  rig.controls.speedMPerMin = SLACK_OFF_M_PER_MIN;
  yield* waitUntil(() => !Number.isNaN(device.shearedMs), SHEARS_WITHIN_S);
  yield* halt(rig);
  rig.troubles.device = undefined;
  yield* wait(LOOK_S);
  truth.did('depth tag', rig.job.tools[tag.tool]!.name, fromMs, {
    depthErrorM: scenario.rig.depthError,
    shearedMs: device.shearedMs,
  });
  truth.phase = 'waiting';
}
