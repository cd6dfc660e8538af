import { createHash } from 'node:crypto';
import type { RunRecord } from '../../src/record/recordSchema.ts';

/** The record as `analyse --out` writes it into a file. */
export const recordText = (record: RunRecord): string => `${JSON.stringify(record, null, 2)}\n`;

/** SHA-256 of that file, hex: what `sha256sum` says of it. */
export const recordHash = (record: RunRecord): string => createHash('sha256').update(recordText(record)).digest('hex');
