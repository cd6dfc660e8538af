/** `schema`: the promised files as JSON Schema, made from the same zod schemas that read them. */
import { z } from 'zod/mini';
import { CHECK_FORMAT, checkSchema } from '../../src/check/checkSchema.ts';
import { Fault } from '../../src/fault.ts';
import { journalEntrySchema } from '../../src/journal/journalSchema.ts';
import { CHANNELS_FORMAT, channelsFileSchema, PLAN_FORMAT, planSchema } from '../../src/plan/planSchema.ts';
import { RECORD_FORMAT, recordSchema } from '../../src/record/recordSchema.ts';
import { COMPARISON_FORMAT, comparisonSchema } from '../../src/replay/comparisonSchema.ts';
import { ARCHIVE_FORMAT, manifestSchema } from '../archive/archiveManifest.ts';
import { type OptionTable, readOptions } from './options.ts';
import { writeWhole } from './writeWhole.ts';

interface Published {
  readonly title: string;
  readonly schema: z.core.$ZodType;
  /** Side of the schema: what may be written by others, or what we write. */
  readonly io: 'input' | 'output';
}

export const PUBLISHED = {
  plan: { title: PLAN_FORMAT, schema: planSchema, io: 'input' },
  channels: { title: CHANNELS_FORMAT, schema: channelsFileSchema, io: 'input' },
  journal: { title: 'one line of the journal', schema: journalEntrySchema, io: 'input' },
  record: { title: RECORD_FORMAT, schema: recordSchema, io: 'output' },
  comparison: { title: COMPARISON_FORMAT, schema: comparisonSchema, io: 'output' },
  check: { title: CHECK_FORMAT, schema: checkSchema, io: 'output' },
  archive: { title: `manifest of ${ARCHIVE_FORMAT}`, schema: manifestSchema, io: 'output' },
} as const satisfies Record<string, Published>;
export type PublishedName = keyof typeof PUBLISHED;

export const SCHEMA_OPTIONS = {
  of: { type: 'string', value: 'NAME', says: `one of ${Object.keys(PUBLISHED).join(', ')}; left out: all, by name` },
  out: { type: 'string', value: 'FILE', says: 'write there instead of to standard output' },
} as const satisfies OptionTable;

export function jsonSchemaOf(name: PublishedName): object {
  const { title, schema, io } = PUBLISHED[name];
  return { title, ...z.toJSONSchema(schema, { io }) };
}

export async function schema(args: readonly string[]): Promise<void> {
  const options = readOptions(args, SCHEMA_OPTIONS);
  const { of } = options;
  const names = Object.keys(PUBLISHED) as PublishedName[];
  if (of !== undefined && !names.includes(of as PublishedName)) {
    throw new Fault('bad option', `--of: found "${of}", expected one of ${names.join(', ')}`);
  }
  const answer =
    of === undefined
      ? Object.fromEntries(names.map((name) => [name, jsonSchemaOf(name)]))
      : jsonSchemaOf(of as PublishedName);
  const text = `${JSON.stringify(answer, null, 2)}\n`;
  if (options.out === undefined) process.stdout.write(text);
  else await writeWhole(options.out, text);
}
