/** Reads a stream that another program pipes in. */
import type { Readable } from 'node:stream';
import type { Clock } from './clock.ts';
import type { Source, SourceHandlers } from './source.ts';

export interface StdinOptions {
  /** A recorded stream: its bytes carry no arrival time (NaN). Live unless set. */
  readonly recorded?: boolean;
}

export function stdinSource(input: Readable, clock: Clock, options: StdinOptions = {}): Source {
  const name = 'standard input';
  let handlers: SourceHandlers | undefined;
  const data = (chunk: Uint8Array): void => {
    const enough = handlers?.bytes(chunk, options.recorded ? Number.NaN : clock.nowMs());
    if (!enough) return;
    input.pause();
    void enough.then(() => handlers && input.resume());
  };
  const finish = (detail: string): void => {
    const to = handlers;
    handlers = undefined;
    input.off('data', data);
    to?.link('ended', `${name}: ${detail}`);
  };
  return {
    name,
    async open(to) {
      handlers = to;
      to.link('connected', name);
      input.on('data', data);
      input.once('end', () => finish('came to its end'));
      input.once('error', (error: Error) => {
        handlers?.link('lost', `${name}: ${error.message}`);
        finish('broken off');
      });
    },
    async close() {
      input.pause();
      finish('closed');
    },
  };
}
