/** Asks the service of this page for kept trace rows. */
import { decodeTraces, type TraceRows } from '../../src/traces/traceWire.ts';
import { apiOf } from '../recorded.ts';
import type { TimeRange } from './timeWindow.ts';

/** Rejects when the service does not answer with rows. */
export type FetchTraces = (range: TimeRange, buckets: number, signal: AbortSignal) => Promise<TraceRows>;

const ANSWER_WITHIN_MS = 30_000;

export const fetchTraces: FetchTraces = async (range, buckets, signal) => {
  const asked = `fromMs=${Math.floor(range.fromMs)}&toMs=${Math.ceil(range.toMs)}&buckets=${buckets}`;
  const limit = AbortSignal.any([signal, AbortSignal.timeout(ANSWER_WITHIN_MS)]);
  const answer = await fetch(`${apiOf('traces')}?${asked}`, { signal: limit });
  if (!answer.ok) throw new Error(`traces: the service answered ${answer.status}`);
  const rows = decodeTraces(new Uint8Array(await answer.arrayBuffer()));
  if (rows.kind === 'bad') throw new Error(`traces: ${rows.reason}`);
  return rows;
};
