/** A record against the truth: one line for each thing that is off. */
import type { RunRecord } from '../../src/record/recordSchema.ts';
import { START_MS } from './rigStream.ts';
import type { Trip } from './rigTrip.ts';

export const TOLERANCE_M = { clean: 0.08, dirty: 0.15, slow: 0.2 } as const;
const WITHIN_S = 45;
const FOOT = 0.3048;

export function faultsOf(trip: Trip, record: RunRecord): string[] {
  const faults: string[] = [];
  const metre = record.units === 'field' ? FOOT : 1;
  const tolerance = TOLERANCE_M[trip.grade];
  trip.truth.joints.forEach((truth, i) => {
    const got = record.joints[i]!;
    const expanded = got.expanded * metre;
    const unproven = got.unproven * metre;
    if (Math.abs(expanded - truth.expanded) > tolerance) {
      faults.push(
        `${truth.name}: expanded ${expanded.toFixed(3)} m, expected ${truth.expanded.toFixed(3)}; gaps ${got.gaps.map((g) => `${g.from}-${g.to} ${g.cause}`).join(', ')}`,
      );
    }
    if (Math.abs(unproven - truth.unproven) > tolerance) {
      faults.push(`${truth.name}: unproven ${unproven.toFixed(3)} m, expected ${truth.unproven.toFixed(3)}`);
    }
    if (!truth.close && got.verdict !== truth.verdict)
      faults.push(`${truth.name}: verdict ${got.verdict}, expected ${truth.verdict}`);
  });
  const connections = record.phases.filter((p) => p.phase === 'making connection');
  if (connections.length !== trip.truth.connections) {
    faults.push(
      `${connections.length} connections at ${connections.map((c) => seconds(c.from).toFixed(0)).join(' ')} s, expected ${trip.truth.connections} at ${trip.script.slipsTimes.map((t) => t.toFixed(0)).join(' ')} s`,
    );
  }
  eventFaults(trip, record, faults);
  phaseFaults(record, faults);
  return faults;
}

const seconds = (at: string): number => (Date.parse(at) - START_MS) / 1000;

function eventFaults(trip: Trip, record: RunRecord, faults: string[]): void {
  const left = record.events.map((event) => ({ ...event, at: seconds(event.from) }));
  for (const truth of trip.truth.events) {
    const i = left.findIndex(
      (e) =>
        e.kind === truth.kind &&
        (truth.joint === null || e.joint === truth.joint) &&
        Math.abs(e.at - truth.from) <= WITHIN_S,
    );
    if (i >= 0) left.splice(i, 1);
    else if (truth.must)
      faults.push(
        `no ${truth.kind} on ${truth.joint} at ${truth.from.toFixed(0)} s; found ${
          left
            .filter((e) => e.kind === truth.kind)
            .map((e) => `${e.joint} ${e.at.toFixed(0)} s`)
            .join(', ') || 'none'
        }`,
      );
  }
  for (const event of left) {
    // What a spike or wrap leaves behind is reported, and is no false event of a dirty stream.
    if (event.kind === 'depth jump' && trip.grade !== 'clean' && isAsFarAsDirt(event.detail)) continue;
    if (event.kind === 'depth jump' && trip.truth.events.some((t) => t.kind === 'data gap')) continue;
    faults.push(
      `false ${event.kind} on ${event.joint} at ${event.at.toFixed(0)} s to ${event.to ? seconds(event.to).toFixed(0) : 'open'}: ${event.detail}`,
    );
  }
}

/** No spike or wrap of these streams is smaller: a lesser jump is the pipeline's own. */
const LEAST_DIRT_M = 30;

function isAsFarAsDirt(detail: string): boolean {
  const size = / by ([\d.]+) (m|ft)\b/.exec(detail);
  return !size || Number(size[1]) * (size[2] === 'ft' ? FOOT : 1) >= LEAST_DIRT_M;
}

function phaseFaults(record: RunRecord, faults: string[]): void {
  let at = record.source.from;
  for (const phase of record.phases) {
    if (phase.from !== at) faults.push(`phase ${phase.phase} from ${phase.from}, expected ${at}`);
    if (phase.to < phase.from) faults.push(`phase ${phase.phase} ends before it begins`);
    at = phase.to;
  }
  if (at !== record.source.to) faults.push(`phases end at ${at}, expected ${record.source.to}`);
}
