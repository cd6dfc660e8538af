/** Reads a small text file whole, never more of it than its kind may have; a device or a pipe is bounded the same way. */
import { open } from 'node:fs/promises';
import { Fault } from '../../src/fault.ts';

const READ_CHUNK_BYTES = 256 * 1024;

const REASONS: Record<string, string> = {
  ENOENT: 'found no such file',
  EACCES: 'found no permission to read it',
  EISDIR: 'found a folder',
};

/** What the system said of a file, as the end of a fault line. */
export function fileReason(error: unknown): string {
  const code = (error as NodeJS.ErrnoException).code ?? '';
  return REASONS[code] ?? `found ${code || String(error)}`;
}

async function readAll(file: string, limitBytes: number): Promise<Buffer> {
  const handle = await open(file, 'r');
  try {
    const parts: Buffer[] = [];
    let size = 0;
    while (size <= limitBytes) {
      const { bytesRead, buffer } = await handle.read(Buffer.allocUnsafe(READ_CHUNK_BYTES), 0, READ_CHUNK_BYTES, null);
      if (bytesRead === 0) break;
      size += bytesRead;
      parts.push(buffer.subarray(0, bytesRead));
    }
    return Buffer.concat(parts);
  } finally {
    await handle.close();
  }
}

/**
 * @param what what the file should be, for the fault line: `a plan`.
 * @throws Fault `file unreadable`, `file too large`, `not json` (not UTF-8).
 */
export async function readBounded(file: string, limitBytes: number, what: string): Promise<string> {
  let bytes: Buffer;
  try {
    bytes = await readAll(file, limitBytes);
  } catch (error) {
    throw new Fault('file unreadable', `${file}: ${fileReason(error)}, expected ${what}`);
  }
  if (bytes.length > limitBytes) {
    throw new Fault('file too large', `${file}: found more than ${limitBytes} bytes, expected ${what} of at most that`);
  }
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch (error) {
    if (!(error instanceof TypeError)) throw error;
    throw new Fault('not json', `${file}: found bytes that are not UTF-8, expected ${what} in UTF-8`);
  }
}
