/**
 * Polling: some data hubs send only after they have received something. This is the only place of the project that
 * writes to a rig's socket, and it is at work only where the user asks for it.
 */
import type { Socket } from 'node:net';
import { invariant } from '../src/fault.ts';
import type { Clock } from './clock.ts';

export interface Poll {
  readonly everyMs: number;
  /** Sent as it is, one byte a character. */
  readonly payload: string;
}

export const POLL_LIMITS = { leastMs: 1000, payloadBytes: 1024, waitingBytes: 4096 } as const;

/** Sends the payload now and then every `everyMs`, until the answer is called. Skips a turn while the peer reads nothing. */
export function startPolling(socket: Socket, poll: Poll, clock: Clock): () => void {
  invariant(poll.payload.length <= POLL_LIMITS.payloadBytes, `a poll of at most ${POLL_LIMITS.payloadBytes} bytes`);
  const payload = Buffer.from(poll.payload, 'latin1');
  const everyMs = Math.max(poll.everyMs, POLL_LIMITS.leastMs);
  let cancel = (): void => {};
  const turn = (): void => {
    if (socket.writable && socket.writableLength < POLL_LIMITS.waitingBytes) socket.write(payload);
    cancel = clock.after(everyMs, turn);
  };
  turn();
  return () => cancel();
}
