/** The journal's file while the trip goes on: entries are added at its end, each a whole line on the disk or nothing. */
import { type FileHandle, open } from 'node:fs/promises';
import { Fault } from '../src/fault.ts';
import { JOURNAL_LIMITS, type JournalEntry } from '../src/journal/journalSchema.ts';

const NEW_LINE = 0x0a;

export class JournalFile {
  readonly #path: string;
  #handle: FileHandle | undefined;

  /** The file need not be there: the first entry makes it. */
  constructor(path: string) {
    this.#path = path;
  }

  /**
   * Resolves when the line is on the disk. One at a time.
   * @throws Fault `cannot write`; the file is then as it was.
   */
  async append(entry: JournalEntry): Promise<void> {
    try {
      this.#handle ??= await open(this.#path, 'a+', 0o600);
      await appendLine(this.#handle, JSON.stringify(entry), this.#path);
    } catch (error) {
      if (error instanceof Fault) throw error;
      const { code } = error as NodeJS.ErrnoException;
      throw new Fault('cannot write', `${this.#path}: found ${code ?? String(error)}, expected to add a line`);
    }
  }

  async close(): Promise<void> {
    await this.#handle?.close();
    this.#handle = undefined;
  }
}

async function appendLine(handle: FileHandle, text: string, path: string): Promise<void> {
  const { size } = await handle.stat();
  // A last line that somebody wrote without its end is ended first.
  const line = Buffer.from(`${(await endsWhole(handle, size)) ? '' : '\n'}${text}\n`);
  if (size + line.length > JOURNAL_LIMITS.bytes) {
    throw new Fault(
      'cannot write',
      `${path}: found ${size} bytes, expected at most ${JOURNAL_LIMITS.bytes} with the new line`,
    );
  }
  try {
    await handle.appendFile(line);
    await handle.sync();
  } catch (error) {
    await handle.truncate(size);
    throw error;
  }
}

async function endsWhole(handle: FileHandle, size: number): Promise<boolean> {
  if (size === 0) return true;
  const { buffer } = await handle.read(Buffer.alloc(1), 0, 1, size - 1);
  return buffer[0] === NEW_LINE;
}
