/**
 * Puts the samples of the leading record into the one order of the run: `sourceMs` strictly increasing, whatever the
 * source's clock does.
 *
 * O1 A stamp that is not further ahead than a few samples may be missing (`followMs`) follows the last one, and its
 *    sample goes out at once. One that lies back by no more than that is `out of order`: the clock will catch up.
 * O2 Any other stamp is suspect and waits: the first of all, one far ahead, one that lies far back. A second one that
 *    runs on from the first (by up to `runsOnMs`) confirms a start or a jump ahead; a third confirms a step back.
 * O3 A sample that follows the last one refutes the suspects: those that lie back are `out of order`, those ahead are
 *    an `odd time stamp`. So one damaged stamp costs one sample, or a few, and neither all that come after it nor a
 *    shift of the run's time.
 * O4 After a confirmed step back the run goes on one period after its last instant; its time is then the source's plus
 *    what it was set back by. When the source's clock is set forward to where the run's time is, the two agree again.
 * O5 A stamp that lies back and was seen with the same content is a `repeated packet`, and no sign of a step.
 */
import type { Sample } from '../../src/channels.ts';

export const ORDER_LIMITS = {
  /** Samples that may be missing before the next stamp is suspect; the plan's gap is the least that counts so. */
  missing: 4,
  runsOnMs: 5 * 60_000,
  confirmAhead: 2,
  confirmBack: 3,
  /** Longest step that counts as the usual time between two samples. */
  longestPeriodMs: 60_000,
  /** Instants remembered to tell repeats by: eight minutes at 1 Hz. */
  remembered: 512,
} as const;

/** Where the order counts what it did not pass on. */
export type OrderCounts = Record<'repeated packet' | 'out of order' | 'odd time stamp' | 'clock step', number>;

interface Suspect {
  readonly stampMs: number;
  readonly content: number;
  readonly sample: Sample;
}

export class RunOrder {
  /** The stamp of the last sample that went out, by the source's clock. */
  lastStampMs = Number.NEGATIVE_INFINITY;
  private readonly gapAfterMs: number;
  private readonly out: (sample: Sample) => void;
  private readonly counts: OrderCounts;
  private suspects: Suspect[] = [];
  private lastOutMs = Number.NEGATIVE_INFINITY;
  private offsetMs = 0;
  private periodMs = 1000;
  private readonly stamps = new Float64Array(ORDER_LIMITS.remembered).fill(Number.NaN);
  private readonly contents = new Float64Array(ORDER_LIMITS.remembered);
  private place = 0;

  /** @param gapAfterMs a stretch without a sample that is still no gap. */
  constructor(gapAfterMs: number, out: (sample: Sample) => void, counts: OrderCounts) {
    this.gapAfterMs = gapAfterMs;
    this.out = out;
    this.counts = counts;
  }

  /** Content of the newest sample of this stamp, out or waiting; undefined when the stamp is another one. */
  contentAt(stampMs: number): number | undefined {
    const suspect = this.suspects.at(-1);
    if (suspect?.stampMs === stampMs) return suspect.content;
    if (stampMs !== this.lastStampMs) return undefined;
    return this.contents[(this.place + ORDER_LIMITS.remembered - 1) % ORDER_LIMITS.remembered];
  }

  /** The stamp of the newest sample, out or waiting. */
  get newestStampMs(): number {
    return this.suspects.at(-1)?.stampMs ?? this.lastStampMs;
  }

  /** @param content a number that is the same for packets that say the same. */
  offer(stampMs: number, content: number, sample: Sample): void {
    const step = stampMs - this.lastStampMs;
    if (Math.abs(step) > this.followMs()) {
      this.suspect(stampMs, content, sample);
      return;
    }
    if (this.suspects.length > 0) this.refute();
    if (step > 0) this.accept(stampMs, content, sample);
    else this.counts[this.remembers(stampMs, content) ? 'repeated packet' : 'out of order']++;
  }

  /** No more will come: a run of a single sample still has that sample, and one behind a short gap is believed. */
  end(): void {
    const first = this.suspects[0];
    const { lastStampMs } = this;
    const started = lastStampMs > Number.NEGATIVE_INFINITY;
    const ahead = first !== undefined && first.stampMs > lastStampMs;
    if (ahead && (!started || first.stampMs - lastStampMs <= ORDER_LIMITS.runsOnMs)) this.acceptSuspects();
    else this.refute();
  }

  private followMs(): number {
    return Math.max(this.gapAfterMs, ORDER_LIMITS.missing * this.periodMs);
  }

  private suspect(stampMs: number, content: number, sample: Sample): void {
    const back = stampMs < this.lastStampMs;
    if (back && this.remembers(stampMs, content)) {
      this.counts['repeated packet']++;
      return;
    }
    const before = this.suspects.at(-1);
    if (before) {
      const step = stampMs - before.stampMs;
      const runsOn = step > 0 && step <= ORDER_LIMITS.runsOnMs && before.stampMs < this.lastStampMs === back;
      // A lone sample between two gaps, the second a long one: nothing after it speaks against it.
      const ahead = before.stampMs - this.lastStampMs;
      const between = step > 0 && ahead > 0 && ahead <= ORDER_LIMITS.runsOnMs;
      if (!runsOn && between) this.acceptSuspects();
      else if (!runsOn) this.refute();
    }
    this.suspects.push({ stampMs, content, sample });
    if (this.suspects.length < (back ? ORDER_LIMITS.confirmBack : ORDER_LIMITS.confirmAhead)) return;
    if (back) {
      this.counts['clock step']++;
      this.offsetMs = this.lastOutMs + this.periodMs - this.suspects[0]!.stampMs;
      this.lastStampMs = this.suspects[0]!.stampMs - this.periodMs;
    }
    this.acceptSuspects();
  }

  private acceptSuspects(): void {
    const { suspects } = this;
    this.suspects = [];
    suspects.forEach(({ stampMs, content, sample }, i) => {
      if (i > 0) this.periodMs = Math.min(stampMs - this.lastStampMs, ORDER_LIMITS.longestPeriodMs);
      this.accept(stampMs, content, sample);
    });
  }

  private refute(): void {
    for (const { stampMs } of this.suspects) {
      this.counts[stampMs < this.lastStampMs ? 'out of order' : 'odd time stamp']++;
    }
    this.suspects = [];
  }

  private accept(stampMs: number, content: number, sample: Sample): void {
    const step = stampMs - this.lastStampMs;
    if (this.offsetMs !== 0 && step > 2 * this.periodMs && stampMs > this.lastOutMs) this.offsetMs = 0;
    if (step <= this.followMs()) this.periodMs = Math.min(step, ORDER_LIMITS.longestPeriodMs);
    this.lastStampMs = stampMs;
    this.lastOutMs = stampMs + this.offsetMs;
    this.stamps[this.place] = stampMs;
    this.contents[this.place] = content;
    this.place = (this.place + 1) % ORDER_LIMITS.remembered;
    sample.sourceMs = this.lastOutMs;
    if (Number.isNaN(sample.arrivalMs)) sample.arrivalMs = this.lastOutMs;
    this.out(sample);
  }

  private remembers(stampMs: number, content: number): boolean {
    for (let i = 0; i < ORDER_LIMITS.remembered; i++) {
      if (this.stamps[i] === stampMs && this.contents[i] === content) return true;
    }
    return false;
  }
}
