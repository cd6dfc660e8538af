/**
 * One page's socket as the hub sees it.
 *
 *   greeting ──hello──▶ live ◀──caught up, new snapshot── slow
 *                        └────────too much waits────────────▲
 *   any of them ──close, fault, no sign of life──▶ gone
 */
import type { WebSocket } from 'ws';
import { LEAD_BUDGET, MessageBudget } from './messageBudget.ts';

export type PeerState = { kind: 'greeting'; sinceMs: number } | { kind: 'live' } | { kind: 'slow' } | { kind: 'gone' };

export class Peer {
  readonly socket: WebSocket;
  readonly budget: MessageBudget;
  /** For what it says of the shared position. */
  readonly leadBudget: MessageBudget;
  /** In which turn of the hub's round it is pinged. */
  readonly pingTurn: number;
  state: PeerState;
  #lastSignMs: number;
  #waiting = 0;
  #handed = 0;

  constructor(socket: WebSocket, nowMs: number, pingTurn: number) {
    this.pingTurn = pingTurn;
    this.socket = socket;
    this.budget = new MessageBudget(nowMs);
    this.leadBudget = new MessageBudget(nowMs, LEAD_BUDGET);
    this.state = { kind: 'greeting', sinceMs: nowMs };
    this.#lastSignMs = nowMs;
  }

  /** The peer said or did something: a message, a pong. */
  sign(nowMs: number): void {
    this.#lastSignMs = nowMs;
  }

  handed(bytes: number): void {
    this.#handed += bytes;
  }

  /**
   * Milliseconds since the last sign of life. A backlog that shrinks is one too: behind a slow link the pong waits
   * behind what was sent before it, and a page that reads must not be dropped for that.
   */
  silentMs(nowMs: number): number {
    const waiting = this.socket.bufferedAmount;
    const taken = this.#waiting + this.#handed - waiting;
    if (this.#waiting > 0 && taken > 0) this.#lastSignMs = nowMs;
    this.#waiting = waiting;
    this.#handed = 0;
    return nowMs - this.#lastSignMs;
  }
}
