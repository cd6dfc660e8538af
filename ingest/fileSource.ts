/** Plays a recorded file: as fast as it goes, or a number of packets a second. */
import { type FileHandle, open } from 'node:fs/promises';
import { Fault } from '../src/fault.ts';
import type { Clock } from './clock.ts';
import type { Source, SourceHandlers } from './source.ts';

export interface FileOptions {
  readonly path: string;
  /** What ends a frame: a packet's end mark (default), or the end of a line. */
  readonly marks?: 'packets' | 'lines';
  /** Frames a second (counted by their end marks); as fast as it goes when left out. */
  readonly packetsPerSecond?: number;
}

const CHUNK_BYTES = 64 * 1024;
/** A paced file is fed this often; more packets go at a time when it must be faster. */
const LEAST_TICK_MS = 10;
const BANG = 33;
const LF = 10;

/** Index behind the `count`-th end mark of bytes[from, ...), or the length when there are fewer. */
function behindMarks(bytes: Uint8Array, from: number, count: number, marks: FileOptions['marks']): number {
  let left = count;
  if (marks === 'lines') {
    for (let i = from; i < bytes.length; i++) if (bytes[i] === LF && --left === 0) return i + 1;
    return bytes.length;
  }
  for (let i = from; i + 1 < bytes.length; i++) {
    if (bytes[i] === BANG && bytes[i + 1] === BANG && --left === 0) return i + 2;
  }
  return bytes.length;
}

class FileSource implements Source {
  readonly name: string;
  private readonly options: FileOptions;
  private readonly clock: Clock;
  private handlers: SourceHandlers | undefined;
  private playing: Promise<void> = Promise.resolve();
  private wake = (): void => {};

  constructor(options: FileOptions, clock: Clock) {
    this.options = options;
    this.clock = clock;
    this.name = options.path;
  }

  /** @throws Fault 'file unreadable'. */
  async open(handlers: SourceHandlers): Promise<void> {
    let file: FileHandle;
    try {
      file = await open(this.options.path, 'r');
    } catch (error) {
      throw new Fault('file unreadable', `${this.name}: ${(error as Error).message}`);
    }
    if (!(await file.stat()).isFile()) {
      await file.close();
      throw new Fault('file unreadable', `${this.name}: found no plain file, expected a recorded stream`);
    }
    this.handlers = handlers;
    handlers.link('connected', this.name);
    this.playing = this.play(file);
  }

  async close(): Promise<void> {
    this.end('closed');
    this.wake();
    await this.playing;
  }

  private end(detail: string): void {
    const { handlers } = this;
    this.handlers = undefined;
    handlers?.link('ended', `${this.name}: ${detail}`);
  }

  private async play(file: FileHandle): Promise<void> {
    try {
      const chunk = new Uint8Array(CHUNK_BYTES);
      while (this.handlers) {
        const { bytesRead } = await file.read(chunk, 0, CHUNK_BYTES, null);
        if (bytesRead === 0) break;
        await this.feed(chunk.slice(0, bytesRead));
      }
      this.end('played to its end');
    } catch (error) {
      this.handlers?.link('lost', `${this.name}: ${(error as Error).message}`);
      this.end('broken off');
    } finally {
      await file.close();
    }
  }

  private async feed(chunk: Uint8Array): Promise<void> {
    const rate = this.options.packetsPerSecond;
    if (rate === undefined) return this.handlers?.bytes(chunk, Number.NaN);
    const packets = Math.max(1, Math.round((rate * LEAST_TICK_MS) / 1000));
    for (let from = 0; from < chunk.length && this.handlers; ) {
      const to = behindMarks(chunk, from, packets, this.options.marks);
      this.handlers.bytes(chunk.subarray(from, to), Number.NaN);
      from = to;
      await this.pause((packets * 1000) / rate);
    }
  }

  private pause(ms: number): Promise<void> {
    return new Promise((resolve) => {
      const cancel = this.clock.after(ms, resolve);
      this.wake = () => {
        cancel();
        resolve();
      };
    });
  }
}

/** Bytes of a file carry no arrival time (NaN). */
export function fileSource(options: FileOptions, clock: Clock): Source {
  return new FileSource(options, clock);
}
