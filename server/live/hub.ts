/**
 * The only sender to the pages' sockets. Rules L1 to L3 stand with the messages (src/live/messages.ts).
 * One buffer a delta serves all sockets; nothing is done per socket beyond comparing its backlog and handing it over.
 */
import type { IncomingMessage } from 'node:http';
import type { Duplex } from 'node:stream';
import type { Subscription } from 'rxjs';
import { type RawData, type WebSocket, WebSocketServer } from 'ws';
import type { Clock } from '../../ingest/clock.ts';
import type { DeltaMessage, HelloMessage, PageMessage } from '../../src/live/messages.ts';
import { Coalescer } from './coalesce.ts';
import { DeltaRing } from './deltaRing.ts';
import type { HubCounts } from './hubCounts.ts';
import { HUB_LIMITS, type HubLimits, REFUSALS, type Refusal } from './hubLimits.ts';
import type { LiveFeed } from './liveFeed.ts';
import { parsePageMessage } from './pageMessage.ts';
import { Peer } from './peer.ts';
import { SharedWatch } from './sharedWatch.ts';

const AS_TEXT = { binary: false } as const;
const CLOSE_POLICY = 1008;
const CLOSE_GOING_AWAY = 1001;

export class Hub {
  readonly #feed: LiveFeed;
  readonly #clock: Clock;
  readonly #limits: HubLimits;
  readonly #server: WebSocketServer;
  readonly #peers = new Set<Peer>();
  readonly #ring: DeltaRing;
  readonly #coalescer: Coalescer;
  readonly #changes: Subscription;
  readonly #refused = Object.fromEntries(REFUSALS.map((reason) => [reason, 0])) as Record<Refusal, number>;
  #snapshot: { seq: number; atMs: number; message: Buffer } | null = null;
  #snapshots = 0;
  #resumed = 0;
  #slow = 0;
  #cancelPing: () => void = () => {};
  #pingTurn = 0;
  #nextTurn = 0;
  #cancelSlowLook: (() => void) | null = null;
  readonly #shared: SharedWatch<Peer>;
  readonly #sharedCoalescer: Coalescer;

  constructor(feed: LiveFeed, clock: Clock, limits: Partial<HubLimits> = {}) {
    this.#feed = feed;
    this.#clock = clock;
    this.#limits = { ...HUB_LIMITS, ...limits };
    this.#ring = new DeltaRing(this.#limits.deltasKept, this.#limits.slowAboveBytes);
    const notInItsTypes = { closeTimeout: this.#limits.closeMs };
    this.#server = new WebSocketServer({
      noServer: true,
      clientTracking: false,
      perMessageDeflate: false,
      maxPayload: this.#limits.messageBytes,
      maxFragments: this.#limits.fragments,
      maxBufferedChunks: 64,
      ...notInItsTypes,
    });
    this.#coalescer = new Coalescer(clock, () => this.#publish(), this.#limits.coalesceMs);
    this.#shared = new SharedWatch(this.#limits.sharedKeptMs);
    this.#sharedCoalescer = new Coalescer(clock, () => this.#tellShared(), this.#limits.sharedEveryMs);
    this.#changes = feed.changes.subscribe((change) => {
      if (change === 'soon') this.#coalescer.changed();
      else if (change === 'now') this.#publish();
      else this.#startOver();
    });
    this.#pingLater();
  }

  counts(): HubCounts {
    return {
      pages: this.#peers.size,
      slow: this.#slow,
      seq: this.#ring.last,
      snapshots: this.#snapshots,
      resumed: this.#resumed,
      refused: { ...this.#refused },
      watching: [...this.#shared.pages].length,
    };
  }

  /** Bytes that wait for the page that reads most slowly. */
  longestBacklog(): number {
    let most = 0;
    for (const peer of this.#peers) most = Math.max(most, peer.socket.bufferedAmount);
    return most;
  }

  /** A connection was refused before it came to the hub. */
  countForeign(): void {
    this.#refused['foreign origin']++;
  }

  /** Takes over a connection whose Host and Origin have been admitted. */
  upgrade(request: IncomingMessage, socket: Duplex, head: Buffer): void {
    if (this.#peers.size >= this.#limits.pages) {
      this.#refused['too many pages']++;
      socket.end('HTTP/1.1 503 Service Unavailable\r\nConnection: close\r\nContent-Length: 0\r\n\r\n');
      return;
    }
    this.#server.handleUpgrade(request, socket, head, (page) => this.#add(page));
  }

  /** Says goodbye to every page and stops; resolves when all sockets are closed. */
  async close(): Promise<void> {
    this.#changes.unsubscribe();
    this.#coalescer.stop();
    this.#sharedCoalescer.stop();
    this.#cancelPing();
    this.#cancelSlowLook?.();
    const gone = [...this.#peers].map(
      (peer) => new Promise<void>((resolve) => peer.socket.once('close', () => resolve())),
    );
    for (const peer of this.#peers) {
      if (peer.state.kind === 'slow') peer.socket.terminate();
      else peer.socket.close(CLOSE_GOING_AWAY, 'the service stops');
    }
    await Promise.all(gone);
  }

  #add(socket: WebSocket): void {
    const peer = new Peer(socket, this.#clock.nowMs(), this.#nextTurn);
    this.#nextTurn = (this.#nextTurn + 1) % this.#limits.pingTurns;
    this.#peers.add(peer);
    socket.on('error', (error: NodeJS.ErrnoException) => this.#failed(error));
    socket.on('close', () => this.#gone(peer));
    socket.on('pong', () => peer.sign(this.#clock.nowMs()));
    socket.on('ping', () => this.#spend(peer));
    socket.on('message', (data, isBinary) => this.#heard(peer, data, isBinary));
  }

  #failed(error: NodeJS.ErrnoException): void {
    // ws answers the peer with the right close code itself; a reset link is no fault of the page.
    if (error.code === 'WS_ERR_UNSUPPORTED_MESSAGE_LENGTH' || error.code === 'WS_ERR_TOO_MANY_BUFFERED_PARTS') {
      this.#refused['oversize message']++;
    } else if (error.code?.startsWith('WS_ERR_')) this.#refused['protocol error']++;
  }

  #gone(peer: Peer): void {
    this.#enter(peer, { kind: 'gone' });
    this.#peers.delete(peer);
    if (!this.#shared.isWatching(peer)) return;
    this.#shared.gone(peer, this.#clock.nowMs());
    this.#sharedCoalescer.changed();
  }

  #enter(peer: Peer, state: Peer['state']): void {
    if (peer.state.kind === 'slow') this.#slow--;
    if (state.kind === 'slow') this.#slow++;
    peer.state = state;
    this.#lookAtSlowLater();
  }

  #refuse(peer: Peer, reason: Refusal): void {
    this.#refused[reason]++;
    this.#enter(peer, { kind: 'gone' });
    peer.socket.close(CLOSE_POLICY, reason);
  }

  /** False when the page speaks too often; it is closed then. */
  #spend(peer: Peer, budget = peer.budget): boolean {
    if (peer.state.kind === 'gone') return false;
    const nowMs = this.#clock.nowMs();
    peer.sign(nowMs);
    if (budget.take(nowMs)) return true;
    this.#refuse(peer, 'too many messages');
    return false;
  }

  #heard(peer: Peer, data: RawData, isBinary: boolean): void {
    if (peer.state.kind === 'gone') return;
    const message = parsePageMessage(data as Buffer, isBinary);
    if (!message) this.#refuse(peer, 'bad message');
    else if (this.#spend(peer, message.type === 'hello' ? peer.budget : peer.leadBudget)) this.#obey(peer, message);
  }

  #obey(peer: Peer, message: PageMessage): void {
    if (message.type === 'hello') this.#greet(peer, message);
    else if (peer.state.kind === 'greeting' || (message.type !== 'watch' && !this.#shared.isWatching(peer)))
      this.#refuse(peer, 'bad message');
    else {
      if (message.type === 'watch') this.#shared.watch(peer, message);
      else this.#shared[message.type](peer, message.place, this.#clock.nowMs());
      this.#sharedCoalescer.changed();
    }
  }

  /** L4: where they look together, to all who keep up; the slow ones are told when they have caught up. */
  #tellShared(): void {
    this.#shared.tidy(this.#clock.nowMs());
    const following = this.#shared.countFollowing();
    for (const peer of this.#shared.pages) if (peer.state.kind === 'live') this.#sayShared(peer, following);
  }

  #sayShared(peer: Peer, following?: number): void {
    this.#send(peer, Buffer.from(JSON.stringify(this.#shared.saidTo(peer, this.#clock.nowMs(), following))));
  }

  /** L1: the missed deltas when they are still held and few, else a snapshot. */
  #greet(peer: Peer, hello: HelloMessage): void {
    if (peer.socket.bufferedAmount > this.#limits.caughtUpBelowBytes) {
      this.#enter(peer, { kind: 'slow' });
      return;
    }
    this.#publish();
    const missed = hello.run === this.#feed.run && hello.lastSeq !== undefined ? this.#ring.after(hello.lastSeq) : null;
    const bytes = missed?.reduce((sum, message) => sum + message.length, 0) ?? 0;
    if (!missed || bytes > this.#limits.slowAboveBytes) {
      this.#sendSnapshot(peer);
      return;
    }
    this.#resumed++;
    this.#enter(peer, { kind: 'live' });
    for (const message of missed) this.#send(peer, message);
    if (this.#shared.isWatching(peer)) this.#sayShared(peer);
  }

  #sendSnapshot(peer: Peer): void {
    this.#publish();
    this.#snapshots++;
    this.#enter(peer, { kind: 'live' });
    this.#send(peer, this.#snapshotNow());
    if (this.#shared.isWatching(peer)) this.#sayShared(peer);
  }

  #snapshotNow(): Buffer {
    const seq = this.#ring.last;
    const atMs = this.#clock.nowMs();
    const held = this.#snapshot;
    if (held && held.seq === seq && atMs - held.atMs < this.#limits.snapshotSharedMs) return held.message;
    const message = Buffer.from(JSON.stringify(this.#feed.snapshot(seq)));
    this.#snapshot = { seq, atMs, message };
    return message;
  }

  #send(peer: Peer, message: Buffer): void {
    peer.socket.send(message, AS_TEXT);
    peer.handed(message.length);
  }

  /** One delta of all that changed since the last, to every page that keeps up. */
  #publish(): void {
    const parts = this.#feed.takeDelta();
    if (!parts) return;
    const delta: DeltaMessage = { type: 'delta', seq: this.#ring.last + 1, serverMs: this.#clock.nowMs(), ...parts };
    const message = Buffer.from(JSON.stringify(delta));
    this.#ring.push(message);
    for (const peer of this.#peers) {
      if (peer.state.kind !== 'live') continue;
      if (peer.socket.bufferedAmount > this.#limits.slowAboveBytes) this.#enter(peer, { kind: 'slow' });
      else this.#send(peer, message);
    }
  }

  /** A new snapshot for every page that keeps up; the slow ones get theirs when they have caught up. */
  #startOver(): void {
    this.#feed.takeDelta();
    this.#ring.skip();
    for (const peer of this.#peers) if (peer.state.kind === 'live') this.#sendSnapshot(peer);
  }

  #lookAtSlowLater(): void {
    if (this.#slow === 0 || this.#cancelSlowLook) return;
    this.#cancelSlowLook = this.#clock.after(this.#limits.slowLookMs, () => this.#lookAtSlow());
  }

  /** L3: a slow page that has read what waited gets the latest state. */
  #lookAtSlow(): void {
    this.#cancelSlowLook = null;
    for (const peer of this.#peers) {
      if (peer.state.kind !== 'slow') continue;
      if (peer.socket.bufferedAmount <= this.#limits.caughtUpBelowBytes) this.#sendSnapshot(peer);
    }
    this.#lookAtSlowLater();
  }

  #pingLater(): void {
    this.#cancelPing = this.#clock.after(this.#limits.pingMs / this.#limits.pingTurns, () => this.#ping());
  }

  #ping(): void {
    const nowMs = this.#clock.nowMs();
    this.#shared.tidy(nowMs);
    this.#pingTurn = (this.#pingTurn + 1) % this.#limits.pingTurns;
    for (const peer of [...this.#peers]) {
      if (peer.pingTurn !== this.#pingTurn) continue;
      const silentMs = peer.silentMs(nowMs);
      if (silentMs > this.#limits.deadAfterMs) {
        this.#refused['no sign of life']++;
        peer.socket.terminate();
      } else if (peer.state.kind === 'greeting' && nowMs - peer.state.sinceMs > this.#limits.helloMs) {
        this.#refuse(peer, 'no hello');
      } else if (peer.socket.readyState === peer.socket.OPEN) peer.socket.ping();
    }
    this.#pingLater();
  }
}
