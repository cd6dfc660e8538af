/**
 * The position that several pages share: who leads, where to, who follows. Rule L4 stands with the messages
 * (src/live/messages.ts). It sends nothing: it is asked what a page is to be told.
 *
 *   nothing shared ──take──▶ led ──leader goes alone or away──▶ left as it is ──take──▶ led
 *        ▲                                                          │ nobody at it: at once where the leader gave
 *        └──────────────────────────────────────────────────────────┘ it up, after a while where its link went
 */
import type { SharedMessage, SharedPlace, Standing, WatchMessage } from '../../src/live/messages.ts';

interface Watcher {
  readonly token: string;
  name: string;
  as: Standing;
  heard: number;
}

export class SharedWatch<Page> {
  readonly #watchers = new Map<Page, Watcher>();
  #leader: Page | null = null;
  /** Of a leader whose link went: the lead is its own again when it comes back before another takes it. */
  #lostLeader: string | null = null;
  #place: SharedMessage['place'] = null;
  #leftMs = Number.NEGATIVE_INFINITY;
  readonly #keptMs: number;

  constructor(keptMs: number) {
    this.#keptMs = keptMs;
  }

  /** Those who are to be told. */
  get pages(): Iterable<Page> {
    return this.#watchers.keys();
  }

  isWatching(page: Page): boolean {
    return this.#watchers.has(page);
  }

  watch(page: Page, { page: token, name, as }: WatchMessage): void {
    // A page that came back before its old link was found dead is one page.
    for (const [other, watcher] of this.#watchers) {
      if (other === page || watcher.token !== token) continue;
      if (this.#leader === other) {
        this.#leader = null;
        this.#lostLeader = token;
      }
      this.#watchers.delete(other);
    }
    const heard = (this.#watchers.get(page)?.heard ?? 0) + 1;
    const watcher: Watcher = { token, name: name.trim(), as, heard };
    this.#watchers.set(page, watcher);
    if (as === 'leads') this.#leadsAgain(page, watcher);
    else if (this.#leader === page) {
      this.#leader = null;
      if (!this.#isAnybodyThere()) this.#place = null;
    }
  }

  #leadsAgain(page: Page, watcher: Watcher): void {
    const free = this.#leader === null && (this.#lostLeader === null || this.#lostLeader === watcher.token);
    if (free) {
      this.#leader = page;
      this.#lostLeader = null;
    } else if (this.#leader !== page) watcher.as = 'follows';
  }

  /** Whoever led before follows from now on. */
  take(page: Page, at: SharedPlace, nowMs: number): void {
    const watcher = this.#watchers.get(page);
    if (!watcher) return;
    const before = this.#leader === null ? undefined : this.#watchers.get(this.#leader);
    if (before) before.as = 'follows';
    watcher.as = 'leads';
    watcher.heard += 1;
    this.#leader = page;
    this.#lostLeader = null;
    this.#place = { sinceMs: nowMs, at };
  }

  /** Counts only from who leads: another may have taken the lead while it was on its way. */
  lead(page: Page, at: SharedPlace, nowMs: number): void {
    if (this.#leader === page) this.#place = { sinceMs: nowMs, at };
  }

  /** Its link is gone. */
  gone(page: Page, nowMs: number): void {
    const watcher = this.#watchers.get(page);
    if (!watcher) return;
    this.#watchers.delete(page);
    if (this.#leader === page) {
      this.#leader = null;
      this.#lostLeader = watcher.token;
    }
    this.#leftMs = nowMs;
  }

  /** Forgets a place that nobody has been at for long. */
  tidy(nowMs: number): void {
    if (this.#isAnybodyThere() || nowMs - this.#leftMs < this.#keptMs) return;
    this.#place = null;
    this.#lostLeader = null;
  }

  #isAnybodyThere(): boolean {
    for (const { as } of this.#watchers.values()) if (as !== 'alone') return true;
    return false;
  }

  /** Pages that follow: counted once for all that are told. */
  countFollowing(): number {
    let following = 0;
    for (const { as } of this.#watchers.values()) if (as === 'follows') following += 1;
    return following;
  }

  /** What a page is told. */
  saidTo(page: Page, serverMs: number, following = this.countFollowing()): SharedMessage {
    const leader = this.#leader === null ? undefined : this.#watchers.get(this.#leader);
    const you = this.#watchers.get(page);
    return {
      type: 'shared',
      serverMs,
      leader: leader ? { name: leader.name } : null,
      you: { as: you?.as ?? 'alone', heard: you?.heard ?? 0 },
      place: this.#place,
      watching: this.#watchers.size,
      following,
    };
  }
}
