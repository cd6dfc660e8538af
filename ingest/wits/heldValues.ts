/**
 * The newest value of every mapped item, and which of them make a sample.
 *
 * H1 An item of the leading record counts only for the packet that it came in: the pipeline decides how long to hold.
 * H2 An item that came beside (another record, or a further packet of the same instant) is held and goes into the
 *    samples that follow, as long as its stamp is no more than `holdMs` from the sample's.
 * H3 A channel takes the first of its items, by preference, that is delivered. A later one is used only when none
 *    before it had a valid value for `holdMs`, so that a short null does not swap an average for a maximum.
 */
import { CHANNEL_IDS, type Sample } from '../../src/channels.ts';
import type { MappedItem } from './channelMap.ts';

export class HeldValues {
  private readonly holdMs: number;
  private readonly values: Float64Array;
  /** Stamp of the last valid value by slot. */
  private readonly validAt: Float64Array;
  private readonly beside: Uint8Array;
  /** Slots of each channel by preference; channel c has slots[first[c]] up to slots[first[c + 1]]. */
  private readonly slots: Int16Array;
  private readonly first: Int16Array;
  private readonly row = new Float64Array(CHANNEL_IDS.length);

  constructor(items: readonly Pick<MappedItem, 'channel'>[], holdMs: number) {
    this.holdMs = holdMs;
    this.values = new Float64Array(items.length);
    this.validAt = new Float64Array(items.length).fill(Number.NEGATIVE_INFINITY);
    this.beside = new Uint8Array(items.length);
    const byChannel = CHANNEL_IDS.map((id) => items.flatMap((item, slot) => (item.channel === id ? [slot] : [])));
    this.slots = Int16Array.from(byChannel.flat());
    this.first = new Int16Array(CHANNEL_IDS.length + 1);
    byChannel.forEach((slots, c) => {
      this.first[c + 1] = this.first[c]! + slots.length;
    });
  }

  /** Whether the slot already has a valid value of this stamp. */
  isOf(slot: number, stampMs: number): boolean {
    return this.validAt[slot] === stampMs;
  }

  /** @param value in the inside unit; NaN takes back what is held of an item that came beside. */
  put(slot: number, value: number, stampMs: number, beside: boolean): void {
    if (Number.isNaN(value)) {
      if (beside && !this.isOf(slot, stampMs)) this.validAt[slot] = Number.NEGATIVE_INFINITY;
      return;
    }
    this.values[slot] = value;
    this.validAt[slot] = stampMs;
    this.beside[slot] = beside ? 1 : 0;
  }

  private pick(channel: number, stampMs: number): number {
    const { validAt, slots } = this;
    const stop = this.first[channel + 1]!;
    for (let k = this.first[channel]!; k < stop; k++) {
      const slot = slots[k]!;
      const at = validAt[slot]!;
      if (at === stampMs) return this.values[slot]!;
      if (Math.abs(stampMs - at) <= this.holdMs) return this.beside[slot] === 1 ? this.values[slot]! : Number.NaN;
    }
    return Number.NaN;
  }

  /** `sourceMs` is set to the stamp; the run's order may still move it. */
  sampleAt(stampMs: number, arrivalMs: number): Sample {
    const { row } = this;
    for (let c = 0; c < row.length; c++) row[c] = this.pick(c, stampMs);
    return sampleOf(row, stampMs, arrivalMs);
  }
}

/** Written out whole, the columns in the order of `CHANNEL_IDS` (a test holds the two together). */
function sampleOf(row: Float64Array, sourceMs: number, arrivalMs: number): Sample {
  return {
    sourceMs,
    arrivalMs,
    bitDepth: row[0]!,
    holeDepth: row[1]!,
    blockPosition: row[2]!,
    hookload: row[3]!,
    torque: row[4]!,
    rotation: row[5]!,
    standpipePressure: row[6]!,
    annulusPressure: row[7]!,
    flowIn: row[8]!,
    flowOut: row[9]!,
    flowOutShare: row[10]!,
    strokeRate1: row[11]!,
    strokeRate2: row[12]!,
    strokeRate3: row[13]!,
    strokeCount: row[14]!,
    tankVolume: row[15]!,
    densityIn: row[16]!,
    temperatureIn: row[17]!,
    temperatureOut: row[18]!,
    inSlips: row[19]!,
  };
}
