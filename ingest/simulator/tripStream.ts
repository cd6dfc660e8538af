/** A simulated trip as the bytes that a rig would send. */
import { compileJob } from '../../src/plan/job.ts';
import type { Plan } from '../../src/plan/planSchema.ts';
import type { Scenario } from './scenario.ts';
import { simulateTrip, type Truth } from './simulateTrip.ts';
import { type WitsStyle, witsPackets } from './witsWriter.ts';

/** All packets that a rig sends at one instant. */
export interface StreamFrame {
  readonly sourceMs: number;
  readonly packets: readonly string[];
}

export interface TripStream {
  readonly frames: StreamFrame[];
  readonly truth: Truth;
}

/** Text of a WITS stream is plain ASCII; anything else comes only from spoiling, one byte a character. */
export function latin1Bytes(texts: readonly string[]): Uint8Array {
  return new Uint8Array(Buffer.from(texts.join(''), 'latin1'));
}

export function witsStyleOf(scenario: Scenario, plan: Plan): WitsStyle {
  const job = compileJob(plan);
  return {
    units: scenario.stream.units ?? job.stream.units,
    utcOffsetMs: job.stream.utcOffsetMs,
    wellId: (job.well || 'WELL').slice(0, 16),
    record5: scenario.stream.record5,
    record11: scenario.stream.record11,
  };
}

export function streamTrip(scenario: Scenario, plan: Plan): TripStream {
  const style = witsStyleOf(scenario, plan);
  const { readings, truth } = simulateTrip(scenario, plan);
  const frames = readings.map((reading, i) => ({
    sourceMs: reading.sourceMs,
    packets: witsPackets(reading, i, style),
  }));
  return { frames, truth };
}

export function streamBytes(frames: readonly StreamFrame[]): Uint8Array {
  return latin1Bytes(frames.flatMap((frame) => frame.packets));
}
