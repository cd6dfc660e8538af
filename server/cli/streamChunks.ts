/** A recorded stream, chunk by chunk, from a file or from standard input (`-`). */
import { createReadStream } from 'node:fs';
import { stat } from 'node:fs/promises';
import type { Readable } from 'node:stream';
import { Fault } from '../../src/fault.ts';
import { fileReason } from '../plan/readBounded.ts';

const CHUNK_BYTES = 1024 * 1024;

export interface StreamFile {
  readonly name: string;
  /** Undefined for standard input. */
  readonly size: number | undefined;
  chunks(): AsyncGenerator<Uint8Array, void, undefined>;
}

const unreadable = (name: string, error: unknown) =>
  new Fault('file unreadable', `${name}: ${fileReason(error)}, expected a recorded stream`);

/** @throws Fault `file unreadable`, here or while it is read. */
export async function streamFile(file: string): Promise<StreamFile> {
  if (file === '-')
    return { name: 'standard input', size: undefined, chunks: () => chunksOf('standard input', process.stdin) };
  try {
    const { size } = await stat(file);
    const open = () => createReadStream(file, { highWaterMark: CHUNK_BYTES });
    return { name: file, size, chunks: () => chunksOf(file, open()) };
  } catch (error) {
    throw unreadable(file, error);
  }
}

async function* chunksOf(name: string, stream: Readable): AsyncGenerator<Uint8Array, void, undefined> {
  try {
    for await (const chunk of stream) yield chunk as Uint8Array;
  } catch (error) {
    throw unreadable(name, error);
  }
}
