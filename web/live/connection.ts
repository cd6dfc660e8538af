/**
 * The page's side of the live link (rules L1 and L2 of src/live/messages.ts).
 *
 *   connecting ──open, hello──▶ open ──closed, silent──▶ lost ──back-off──▶ connecting
 *                                │ └─ hole in the numbers: hello again
 *                                └─ message ─▶ schema ─▶ number ─▶ merged ─▶ once per animation frame ─▶ signals
 */
import {
  type HeardMessage,
  heardMessageSchema,
  type PageMessage,
  type ServerMessage,
} from '../../src/live/messages.ts';
import { job, pageLink, refusedMessages } from '../state.ts';
import { linkShared, takeShared, watchAgain } from '../together/sharedLink.ts';
import { applyClock, applyFreshness, applyMerged, applySnapshot, newestFreshness, newestNow } from './applyMessages.ts';
import { backOffMs } from './backOff.ts';
import { freshnessOf } from './freshnessOf.ts';
import { type Merged, mergeDelta, nothingMerged } from './mergeDeltas.ts';
import { judgeSequence } from './sequence.ts';
import { ServerClock } from './serverClock.ts';

export const LIVE_PATH = '/live';

export const CONNECTION_LIMITS = {
  /** Between two looks at the age of the data. */
  ageTickMs: 250,
  /** A look that comes this much later than it should: the page was held up, and messages wait to be heard. */
  heldUpMs: 500,
  /** Applied no later than this even where the browser draws no frames (a hidden tab). */
  hiddenFrameMs: 250,
  /** Without any message before the link is asked for a sign of life, and then before it is given up. */
  silentMs: 8_000,
  givenUpMs: 14_000,
  /** Between two hellos on one link: a hole shows in every message until it is filled. */
  helloEveryMs: 2_000,
};
export type ConnectionLimits = typeof CONNECTION_LIMITS;

export class Connection {
  readonly #url: string;
  readonly #limits: ConnectionLimits;
  readonly #serverClock = new ServerClock();
  #socket: WebSocket | null = null;
  #run: string | null = null;
  #lastSeq: number | null = null;
  #rate = 1;
  #offsetMs = 0;
  #attempt = 0;
  #ticking: ReturnType<typeof setInterval> | undefined;
  #retry: ReturnType<typeof setTimeout> | undefined;
  #heardMs = 0;
  #tickedMs = 0;
  #helloMs = Number.NEGATIVE_INFINITY;
  #merged: Merged = nothingMerged();
  #frame: 'free' | 'taken' | 'waiting' = 'free';

  /** @param limits a test may shorten the times */
  constructor(url: string, limits: Partial<ConnectionLimits> = {}) {
    this.#url = url;
    this.#limits = { ...CONNECTION_LIMITS, ...limits };
  }

  start(): void {
    linkShared((message) => this.#say(message));
    this.#tickedMs = performance.now();
    this.#ticking = setInterval(() => this.#tick(), this.#limits.ageTickMs);
    this.#connect();
  }

  stop(): void {
    clearInterval(this.#ticking);
    clearTimeout(this.#retry);
    const socket = this.#socket;
    this.#socket = null;
    socket?.close();
  }

  #connect(): void {
    const socket = new WebSocket(this.#url);
    this.#socket = socket;
    this.#heardMs = performance.now();
    socket.addEventListener('open', () => {
      if (socket !== this.#socket) return;
      this.#heardMs = performance.now();
      pageLink.value = { kind: 'open' };
      this.#hello('last');
      watchAgain();
    });
    socket.addEventListener('message', (event) => {
      if (socket === this.#socket) this.#heard(event.data);
    });
    socket.addEventListener('close', () => {
      if (socket === this.#socket) this.#lost();
    });
  }

  /** @param from `last`: what was missed is enough; `nothing`: a snapshot is wanted, since it is always answered. */
  #hello(from: 'last' | 'nothing'): void {
    const hello: PageMessage =
      from === 'last' && this.#run !== null && this.#lastSeq !== null
        ? { type: 'hello', run: this.#run, lastSeq: this.#lastSeq }
        : { type: 'hello' };
    this.#helloMs = performance.now();
    this.#say(hello);
  }

  /** Nothing while the link is down: what the page says of itself is said again behind the next hello. */
  #say(message: PageMessage): void {
    if (this.#socket?.readyState === WebSocket.OPEN) this.#socket.send(JSON.stringify(message));
  }

  #heard(data: unknown): void {
    this.#heardMs = performance.now();
    const message = readMessage(data);
    if (!message) {
      refusedMessages.value++;
      return;
    }
    if (message.type === 'shared') {
      this.#offsetMs = this.#serverClock.heard(message.serverMs, this.#heardMs);
      takeShared(message, this.#offsetMs);
      return;
    }
    const verdict = judgeSequence(this.#lastSeq, message);
    if (verdict === 'hole') {
      if (this.#heardMs - this.#helloMs > this.#limits.helloEveryMs) this.#hello('last');
      return;
    }
    this.#attempt = 0;
    if (verdict === 'take') this.#take(message);
  }

  #take(message: ServerMessage): void {
    this.#lastSeq = message.seq;
    if (message.type === 'snapshot') {
      if (message.run !== this.#run) this.#serverClock.forget();
      this.#run = message.run;
      this.#rate = message.clock.rate;
      this.#offsetMs = this.#serverClock.heard(message.clock.serverMs, this.#heardMs);
      this.#merged = nothingMerged();
      applySnapshot(message);
      this.#judgeAge();
      return;
    }
    this.#offsetMs = this.#serverClock.heard(message.serverMs, this.#heardMs);
    mergeDelta(this.#merged, message);
    if (this.#frame === 'free') this.#apply();
    else this.#frame = 'waiting';
  }

  /** The first delta of a frame is shown at once, what follows with the next frame: quick, and never twice a frame. */
  #apply(): void {
    const merged = this.#merged;
    this.#merged = nothingMerged();
    this.#frame = 'taken';
    let passed = false;
    const next = () => {
      if (passed) return;
      passed = true;
      const waiting = this.#frame === 'waiting';
      this.#frame = 'free';
      if (waiting) this.#apply();
    };
    requestAnimationFrame(next);
    setTimeout(next, this.#limits.hiddenFrameMs);
    applyMerged(merged);
    // Numbers that are there again are not called old until the next look.
    if (merged.now && newestFreshness().kind !== 'fresh') this.#judgeAge();
  }

  #lost(): void {
    this.#socket = null;
    this.#attempt++;
    const before = pageLink.peek();
    const sinceMs = before.kind === 'lost' ? before.sinceMs : this.#heardMs;
    pageLink.value = { kind: 'lost', sinceMs, attempt: this.#attempt };
    this.#judgeAge();
    this.#retry = setTimeout(() => this.#connect(), backOffMs(this.#attempt, Math.random()));
  }

  /** A cable pulled out closes nothing: silence is answered with a hello, and silence after that with a new link. */
  #watchSilence(ourMs: number): void {
    const socket = this.#socket;
    if (!socket) return;
    const silent = ourMs - this.#heardMs;
    if (silent > this.#limits.givenUpMs) {
      socket.close();
      this.#lost();
    } else if (
      silent > this.#limits.silentMs &&
      socket.readyState === WebSocket.OPEN &&
      this.#helloMs < this.#heardMs
    ) {
      this.#hello('nothing');
    }
  }

  #tick(): void {
    const ourMs = performance.now();
    const heldUp = ourMs - this.#tickedMs > this.#limits.ageTickMs + this.#limits.heldUpMs;
    this.#tickedMs = ourMs;
    // What came in meanwhile stands in line before a new task: silence and age are judged once it has been heard.
    if (heldUp) setTimeout(() => this.#look(), 0);
    else this.#look();
  }

  #look(): void {
    this.#watchSilence(performance.now());
    this.#judgeAge();
  }

  #judgeAge(): void {
    const ourMs = performance.now();
    applyClock(this.#rate, this.#offsetMs);
    applyFreshness(
      freshnessOf(
        // What was heard and waits for the next frame counts too: it is not old, it is only not drawn yet.
        (this.#merged.now ?? newestNow())?.arrivalMs ?? null,
        ourMs + this.#offsetMs,
        this.#rate,
        job.peek()?.stream.gapAfterMs ?? Number.POSITIVE_INFINITY,
        pageLink.peek().kind,
      ),
    );
  }
}

/** @returns null for what is no message of the service. */
function readMessage(data: unknown): HeardMessage | null {
  if (typeof data !== 'string') return null;
  let value: unknown;
  try {
    value = JSON.parse(data);
  } catch (fault) {
    if (fault instanceof SyntaxError) return null;
    throw fault;
  }
  const parsed = heardMessageSchema.safeParse(value);
  return parsed.success ? parsed.data : null;
}
