/** What a kept state depends on beside the log: a state of another program, plan, source or form is not taken up. */
import type { StreamReader } from '../../ingest/streamReader.ts';
import { createRun } from '../../src/pipeline/run.ts';
import type { Job } from '../../src/plan/job.ts';
import { VERSION } from '../version.ts';
import type { KeptSource } from './keptSource.ts';

/** Names of all fields, their kinds and the lengths of columns: changes whenever a part of the state is added or renamed. */
function formOf(value: unknown): unknown {
  if (ArrayBuffer.isView(value)) return [value.constructor.name, value.byteLength];
  if (value instanceof Map) return 'map';
  if (Array.isArray(value)) return value.length > 0 ? [formOf(value[0])] : [];
  if (typeof value !== 'object' || value === null) return typeof value;
  return Object.fromEntries(Object.entries(value).map(([name, each]) => [name, formOf(each)]));
}

/** @param reader fresh, as the run will have it */
export function stateKey(id: string, job: Job, planText: string, source: KeptSource, reader: StreamReader): string {
  return JSON.stringify([VERSION, id, planText, source, formOf(createRun(job)), formOf(reader)]);
}
