/** An output file is there whole or not at all: written under a temporary name beside it, then renamed. */
import { open, rename, rm } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { Fault } from '../../src/fault.ts';
import { fileReason } from '../plan/readBounded.ts';

/** @throws Fault `cannot write`. */
export async function writeWhole(file: string, content: string | Uint8Array): Promise<void> {
  const temporary = join(dirname(file), `.${basename(file)}.${process.pid}.tmp`);
  try {
    const handle = await open(temporary, 'wx');
    try {
      await handle.writeFile(content);
      await handle.sync();
    } finally {
      await handle.close();
    }
    await rename(temporary, file);
  } catch (error) {
    await rm(temporary, { force: true });
    throw new Fault('cannot write', `${file}: ${fileReason(error)}, expected a place to write to`);
  }
}
