/** What a live run had come to at an instant that is over: counted again from its samples and its journal. */
import { Fault } from '../../src/fault.ts';
import { recordOf } from '../../src/record/record.ts';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import { startOf, workTo } from '../../src/replay/course.ts';
import { createSampleColumns, rowsUpTo } from '../../src/replay/sampleColumns.ts';
import { decodeSamples, encodeSamples } from '../../src/replay/sampleWire.ts';
import type { LiveRun } from '../live/liveRun.ts';

/** Rows that are worked before others have their turn: a few ms. */
const ROWS_A_TURN = 1000;

/** @throws Fault `nothing usable` where the samples of the run are not at hand */
export async function recordAt(live: LiveRun, atMs: number): Promise<RunRecord> {
  const log = await live.sampleLog();
  if (typeof log === 'string') throw new Fault('nothing usable', log);
  const samples = createSampleColumns(log.rows);
  const decoded = decodeSamples(encodeSamples(log), samples);
  if (decoded.kind === 'bad') throw new Fault('nothing usable', `the samples of the run: ${decoded.reason}`);
  const { plan, tag, entries, source } = live.course();
  const course = { plan, tag, depthOffsetM: 0, samples, entries };
  const position = startOf(course);
  const rows = rowsUpTo(samples, atMs);
  for (let row = 0; row < rows; row += ROWS_A_TURN) {
    workTo(course, position, Math.min(rows, row + ROWS_A_TURN), -Infinity);
    await new Promise((resolve) => setImmediate(resolve));
  }
  workTo(course, position, rows, atMs);
  return recordOf(position.run, source);
}
