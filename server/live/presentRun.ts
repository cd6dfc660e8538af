/** The run that is live: one after another, when a run is closed and the next begun. The hub and the routes see one feed. */
import { Subject, type Subscription } from 'rxjs';
import { Fault } from '../../src/fault.ts';
import type { SnapshotMessage } from '../../src/live/messages.ts';
import type { Change, DeltaParts, LiveFeed } from './liveFeed.ts';
import type { LiveRun } from './liveRun.ts';

export class PresentRun implements LiveFeed {
  readonly changes = new Subject<Change>();
  #live: LiveRun | null = null;
  #relayed: Subscription | undefined;

  get orNull(): LiveRun | null {
    return this.#live;
  }

  /** @throws Fault with status 404 where there is none */
  get live(): LiveRun {
    if (this.#live) return this.#live;
    const line = 'there is no live run: the service has a library and no source';
    throw Object.assign(new Fault('nothing usable', line), { statusCode: 404 });
  }

  get run(): string {
    return this.live.run;
  }

  /** From now on it is this one; every page is told everything. */
  put(live: LiveRun): void {
    this.#relayed?.unsubscribe();
    this.#live = live;
    this.#relayed = live.changes.subscribe((change) => this.changes.next(change));
    this.changes.next('everything');
  }

  takeDelta(): DeltaParts | null {
    return this.#live?.takeDelta() ?? null;
  }

  snapshot(seq: number): SnapshotMessage {
    return this.live.snapshot(seq);
  }

  end(): void {
    this.#relayed?.unsubscribe();
    this.changes.complete();
  }
}
