/** A channel map in a file of its own: which item of the source feeds which channel, in which unit. */
import { Fault } from '../../src/fault.ts';
import { type ChannelMapping, channelsFileSchema, PLAN_LIMITS } from '../../src/plan/planSchema.ts';
import { parseJson } from './parseJson.ts';
import { readBounded } from './readBounded.ts';
import { schemaFaults } from './schemaFaults.ts';
import { unknownKeys } from './unknownKeys.ts';

export interface ReadChannelMap {
  readonly channels: Record<string, ChannelMapping>;
  readonly warnings: readonly string[];
}

/** @throws Fault `file unreadable`, `file too large`, `not json`, `bad channel map`. */
export async function readChannelMap(file: string): Promise<ReadChannelMap> {
  const value = parseJson(file, await readBounded(file, PLAN_LIMITS.bytes, 'a channel map'));
  const parsed = channelsFileSchema.safeParse(value);
  if (!parsed.success) {
    const lines = schemaFaults(parsed.error.issues, value);
    throw new Fault('bad channel map', lines.map((line) => `${file}: ${line}`).join('\n'));
  }
  return {
    channels: parsed.data.channels,
    warnings: unknownKeys(channelsFileSchema, value).map((line) => `${file}: ${line}`),
  };
}
