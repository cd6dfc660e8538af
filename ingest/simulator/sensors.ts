/** What the rig's sensors say of it: lagging a little, noisy, and in steps. */
import type { Random } from './random.ts';
import { lagged } from './responses.ts';
import { LITRES_PER_STROKE, type Rig, STEP_S } from './rig.ts';
import { RESOLUTIONS, type Scenario } from './scenario.ts';

/** One instant of all the rig's sensors, in inside units. */
export interface RigReading {
  readonly sourceMs: number;
  readonly bitDepth: number;
  readonly holeDepth: number;
  readonly blockPosition: number;
  /** Average feed over the last seconds, m/min. */
  readonly feed: number;
  readonly hookload: number;
  readonly setDown: number;
  readonly torque: number;
  readonly rotation: number;
  readonly standpipePressure: number;
  readonly annulusPressure: number;
  readonly strokeRate1: number;
  readonly strokeRate2: number;
  readonly strokeCount: number;
  readonly tankVolume: number;
  readonly flowIn: number;
  readonly flowOut: number;
  readonly densityIn: number;
  readonly temperatureIn: number;
  readonly temperatureOut: number;
  readonly inSlips: boolean;
}

const SENSOR_LAG_S = 0.3;
const FEED_AVERAGE_S = 10;
/** Standard deviations at noise 1: absolute, and as a share of the reading. */
const NOISE = {
  hookload: { absolute: 1.2, share: 0 },
  torque: { absolute: 0.03, share: 0.02 },
  rotation: { absolute: 0.15, share: 0 },
  pressure: { absolute: 8, share: 0.004 },
  flow: { absolute: 1, share: 0.004 },
  tank: { absolute: 0.03, share: 0 },
  temperature: { absolute: 0.05, share: 0 },
} as const;
/** Open hole left below the liner, m. */
const RAT_HOLE_M = 12;
const TANK_M3 = 62;
const TEMPERATURE_C = { in: 34, out: 39 } as const;

const inSteps = (value: number, step: number): number => Math.round(value / step) * step;

export interface Sensors {
  /** To be called once a time step. */
  follow(): void;
  read(): RigReading;
}

export function createSensors(rig: Rig, scenario: Scenario, random: Random): Sensors {
  const { state } = rig;
  const depthStep = RESOLUTIONS[scenario.stream.depthResolution];
  const blockStep = RESOLUTIONS[scenario.stream.blockResolution];
  const holeDepth = rig.job.joints.at(-1)!.bottom + RAT_HOLE_M;
  const tankAtStart = TANK_M3;
  let pressure = state.pressure;
  let torque = state.torque;
  let hookload = state.hookload;
  let rotation = state.rpm;
  let flow = state.flow;
  let flowOut = state.flow;
  let feed = 0;
  const noisy = (value: number, { absolute, share }: { absolute: number; share: number }): number =>
    value + random.normal() * (absolute + share * Math.abs(value)) * scenario.noise;
  /** A reading of something that stands still at zero is zero. */
  const atLeastZero = (value: number, spread: { absolute: number; share: number }): number => {
    const read = noisy(value, spread);
    return value < spread.absolute * 3 ? 0 : Math.max(0, read);
  };
  return {
    follow(): void {
      pressure = lagged(pressure, state.pressure, STEP_S, SENSOR_LAG_S);
      torque = lagged(torque, state.torque, STEP_S, SENSOR_LAG_S);
      hookload = lagged(hookload, state.hookload, STEP_S, SENSOR_LAG_S);
      rotation = lagged(rotation, state.rpm, STEP_S, SENSOR_LAG_S);
      flow = lagged(flow, state.flow, STEP_S, SENSOR_LAG_S);
      flowOut = lagged(flowOut, state.flow, STEP_S, 8);
      feed = lagged(feed, Math.max(0, state.speed), STEP_S, FEED_AVERAGE_S);
    },
    read: () => ({
      sourceMs: state.timeMs,
      bitDepth: inSteps(state.endDepth + state.pressedM + scenario.rig.depthError, depthStep),
      holeDepth: inSteps(holeDepth, depthStep),
      blockPosition: inSteps(state.block - state.pressedM, blockStep),
      feed,
      hookload: noisy(hookload, NOISE.hookload),
      setDown: Math.max(0, noisy(state.setDown, NOISE.hookload)),
      torque: atLeastZero(torque, NOISE.torque),
      rotation: atLeastZero(rotation, NOISE.rotation),
      standpipePressure: atLeastZero(pressure, NOISE.pressure),
      // Chance is drawn only for a pressure that is there: trips without one stay as they are.
      annulusPressure: state.annulus === 0 ? 0 : atLeastZero(state.annulus, NOISE.pressure),
      strokeRate1: flow / LITRES_PER_STROKE / rig.troubles.delivery / 2,
      strokeRate2: flow / LITRES_PER_STROKE / rig.troubles.delivery / 2,
      strokeCount: Math.floor(state.strokes),
      tankVolume: noisy(tankAtStart, NOISE.tank),
      flowIn: atLeastZero(flow, NOISE.flow),
      flowOut: atLeastZero(flowOut, NOISE.flow),
      densityIn: 1180,
      temperatureIn: noisy(TEMPERATURE_C.in, NOISE.temperature),
      temperatureOut: noisy(TEMPERATURE_C.out, NOISE.temperature),
      inSlips: rig.controls.slips === 'in',
    }),
  };
}
