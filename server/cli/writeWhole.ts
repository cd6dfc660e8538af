/** An output file is there whole or not at all: written under a temporary name beside it, then renamed. */
import { open, rename, rm } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { Fault } from '../../src/fault.ts';
import { fileReason } from '../plan/readBounded.ts';

/**
 * @param content whole, or in pieces that are asked for one after another; a fault among them leaves no file behind
 * @throws Fault `cannot write`, and what the pieces throw
 */
export async function writeWhole(file: string, content: string | Uint8Array | Iterable<string>): Promise<void> {
  const temporary = join(dirname(file), `.${basename(file)}.${process.pid}.tmp`);
  try {
    const handle = await open(temporary, 'wx');
    try {
      // Each from where the one before ended.
      const isWhole = typeof content === 'string' || content instanceof Uint8Array;
      for (const piece of isWhole ? [content] : content) await handle.writeFile(piece);
      await handle.sync();
    } finally {
      await handle.close();
    }
    await rename(temporary, file);
  } catch (error) {
    await rm(temporary, { force: true });
    if (error instanceof Fault) throw error;
    throw new Fault('cannot write', `${file}: ${fileReason(error)}, expected a place to write to`);
  }
}
