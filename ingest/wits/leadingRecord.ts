/**
 * Which record makes the samples: the one that carries where the string is (depth, block, hookload): record 1, else
 * the tripping record 5, else the lowest. Another one takes over when the leader has been silent for `silentMs`.
 */
import type { ChannelId } from '../../src/channels.ts';

const LEADING_CHANNELS: ReadonlySet<ChannelId> = new Set(['bitDepth', 'blockPosition', 'hookload']);
const LEAST_SILENCE_MS = 10_000;

export function leads(channel: ChannelId): boolean {
  return LEADING_CHANNELS.has(channel);
}

/** Lower leads before higher. */
export function leadingRank(record: number): number {
  return record === 1 ? 0 : record === 5 ? 1 : record + 1;
}

export class LeadingRecord {
  private readonly silentMs: number;
  private record = 0;
  private lastMs = Number.NEGATIVE_INFINITY;
  private strong = false;
  /** Stamp of the first packet with anything for a channel, while nothing leads. */
  private waitingSinceMs = Number.NaN;

  constructor(gapAfterMs: number) {
    this.silentMs = Math.max(gapAfterMs, LEAST_SILENCE_MS);
  }

  /**
   * Whether a packet of this record makes a sample.
   * @param strong it carries a leading channel. A stream that never has one is led by what it has, after a wait.
   */
  takes(record: number, stampMs: number, strong: boolean): boolean {
    if (!strong) {
      if (this.strong) return false;
      if (Number.isNaN(this.waitingSinceMs)) this.waitingSinceMs = stampMs;
      if (stampMs - this.waitingSinceMs < this.silentMs) return false;
    }
    const stronger = strong && !this.strong;
    const better = leadingRank(record) < leadingRank(this.record);
    const silent = stampMs - this.lastMs > this.silentMs;
    if (record !== this.record && this.record !== 0 && !stronger && !better && !silent) return false;
    this.record = record;
    this.strong = strong;
    this.lastMs = stampMs;
    return true;
  }
}
