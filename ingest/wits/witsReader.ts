/**
 * A WITS level 0 stream to samples.
 *
 *   bytes ─ WitsDecoder ─ packet ─ items by code ─ instant (RecordClock) ─┬─ leads:  HeldValues.sampleAt ─ RunOrder ─ sink
 *                                                                        └─ beside: kept in HeldValues
 *
 * R1 One sample an instant of the leading record, made when its packet ends, without waiting for the next one.
 * R2 Two packets of one instant: what says the same is a `repeated packet`; what only adds items is kept beside and
 *    goes into the next sample; another reading of the same items (several a second under stamps of whole seconds) is
 *    dropped, since the first has gone out: `second packet of one instant`.
 * R3 A second DATE or TIME of a record within one packet begins another instant (both marks between were lost).
 * R4 Without a stamp a live packet is of the moment when it arrived, until the source has sent a stamp; after that,
 *    and in a recorded stream, it makes no sample.
 */
import type { Sample } from '../../src/channels.ts';
import type { Job } from '../../src/plan/job.ts';
import type { ReaderCounts, StreamReader, UnknownCode } from '../streamReader.ts';
import { channelMap } from './channelMap.ts';
import { DECODER_LIMITS, WitsDecoder } from './decoder.ts';
import { HeldValues } from './heldValues.ts';
import { DATE, itemRoles, TIME, UNMAPPED } from './itemRoles.ts';
import { LeadingRecord, leadingRank, leads } from './leadingRecord.ts';
import { isNullWord, NullValues } from './nullValue.ts';
import { EMPTY, itemText, TEXT, type WitsPacket } from './packet.ts';
import { PacketStamps } from './packetStamps.ts';
import { PollEcho } from './pollEcho.ts';
import { RecordClock } from './recordClock.ts';
import { noRefusals, REFUSAL_REASONS } from './refusals.ts';
import { RunOrder } from './runOrder.ts';
import { slipsFlag } from './slipsFlag.ts';
import { UnmappedItems } from './unmappedItems.ts';

/** Added to the rank of an item that does not lead by itself; above every rank. */
const WEAK_RANK = 1000;
/** An older stamp of a record beside is out of order up to here; further back its clock was set. */
const BESIDE_BACK_MS = 10_000;
/** Packets without a stamp that arrive together are put one millisecond apart, up to this many. */
const PACKETS_A_CHUNK_MS = 1000;
/** Mixes the values of a packet, in order, into one number; below 1, so that it stays finite. */
const CONTENT_MIX = 0.754877666246693;

export interface WitsReaderOptions {
  /** The request that we send when polling is on, to know its echo. */
  readonly pollPayload?: string;
}

class WitsReader implements StreamReader {
  private readonly decoder = new WitsDecoder((packet) => this.packet(packet));
  private readonly refused = noRefusals();
  private readonly roles: Int16Array;
  private readonly scales: Float64Array;
  private readonly offsets: Float64Array;
  private readonly shorts: Uint8Array;
  /** 1 for items that feed the in-slips flag. */
  private readonly flags: Uint8Array;
  private readonly records: Uint8Array;
  /** The lower, the sooner an item makes its record the leading one of a packet. */
  private readonly ranks: Uint16Array;
  private readonly nulls: NullValues;
  private readonly stamps: PacketStamps;
  private readonly held: HeldValues;
  private readonly lead: LeadingRecord;
  private readonly order: RunOrder;
  private readonly echo: PollEcho;
  private readonly unmapped = new UnmappedItems();
  private readonly besideStamps = new Float64Array(100).fill(Number.NEGATIVE_INFINITY);
  private readonly besideContents = new Float64Array(100).fill(Number.NaN);
  private arrivalMs = Number.NaN;
  private stamped = false;
  private samples = 0;

  // The instant being put together: mapped items in the order they came, DATE and TIME in `stamps`.
  private touched = 0;
  private bestSlot = -1;
  private bestRank = Number.POSITIVE_INFINITY;
  private readonly slots = new Int16Array(DECODER_LIMITS.items);
  private readonly values = new Float64Array(DECODER_LIMITS.items);
  private content = 0;
  private readonly seenIn: Float64Array;
  private instants = 0;

  constructor(stream: Job['stream'], sink: (sample: Sample) => void, options: WitsReaderOptions) {
    const map = channelMap(stream);
    const { items } = map;
    this.roles = itemRoles(map);
    this.scales = Float64Array.from(items, (item) => item.scale);
    this.offsets = Float64Array.from(items, (item) => item.offset);
    this.shorts = Uint8Array.from(items, (item) => (item.short ? 1 : 0));
    this.flags = Uint8Array.from(items, (item) => (item.channel === 'inSlips' ? 1 : 0));
    this.records = Uint8Array.from(items, (item) => item.record);
    this.ranks = Uint16Array.from(items, (item) => leadingRank(item.record) + (leads(item.channel) ? 0 : WEAK_RANK));
    this.seenIn = new Float64Array(items.length);
    this.nulls = new NullValues(stream.nulls);
    this.stamps = new PacketStamps(new RecordClock(stream.utcOffsetMs));
    this.held = new HeldValues(items, stream.gapAfterMs);
    this.lead = new LeadingRecord(stream.gapAfterMs);
    this.echo = new PollEcho(options.pollPayload);
    this.order = new RunOrder(
      stream.gapAfterMs,
      (sample) => {
        this.samples++;
        sink(sample);
      },
      this.refused,
    );
  }

  push(bytes: Uint8Array, arrivalMs: number): void {
    this.arrivalMs = arrivalMs;
    this.decoder.push(bytes);
  }

  end(): void {
    this.decoder.finish();
    this.order.end();
  }

  get counts(): ReaderCounts {
    const rejected: Record<string, number> = {};
    for (const reason of REFUSAL_REASONS) {
      const count = this.refused[reason] + this.decoder.counts[reason];
      if (count > 0) rejected[reason] = count;
    }
    return {
      bytes: this.decoder.bytes,
      frames: this.decoder.packets,
      samples: this.samples,
      rejected,
      unknownCodes: this.unmapped.list() as Map<number | string, UnknownCode>,
    };
  }

  private packet(packet: WitsPacket): void {
    this.begin();
    const { codes, values, kinds, count } = packet;
    const { roles } = this;
    let stamped = false;
    for (let i = 0; i < count; i++) {
      const role = roles[codes[i]!]!;
      const value = values[i]!;
      if (role >= 0) this.touch(role, kinds[i] === TEXT ? this.wordOf(role, packet, i) : this.valueOf(role, value));
      else if (role === UNMAPPED) {
        if (!this.unmapped.note(packet, i)) this.refused['unlisted code']++;
      } else if (role === DATE || role === TIME) {
        stamped = true;
        this.stampItem(role, packet, i);
        continue;
      }
      if (!Number.isNaN(value)) this.content = this.content * CONTENT_MIX + value;
    }
    if (!stamped && this.echo.matches(packet)) this.refused['echo of our poll']++;
    else this.finishInstant((codes[0]! / 100) | 0);
  }

  private begin(): void {
    this.stamps.clear();
    this.touched = 0;
    this.bestSlot = -1;
    this.bestRank = Number.POSITIVE_INFINITY;
    this.content = 0;
    this.instants++;
  }

  private touch(slot: number, value: number): void {
    if (this.seenIn[slot] === this.instants) this.refused['repeated item']++;
    this.seenIn[slot] = this.instants;
    const rank = this.ranks[slot]!;
    if (rank < this.bestRank) {
      this.bestRank = rank;
      this.bestSlot = slot;
    }
    this.slots[this.touched] = slot;
    this.values[this.touched++] = value;
  }

  private valueOf(slot: number, value: number): number {
    if (this.nulls.has(value, this.shorts[slot] === 1)) return Number.NaN;
    if (this.flags[slot] === 1) return value === 0 ? 0 : 1;
    return value * this.scales[slot]! + this.offsets[slot]!;
  }

  /** A mapped item whose value is no number. */
  private wordOf(slot: number, packet: WitsPacket, i: number): number {
    const text = itemText(packet, i);
    if (isNullWord(text)) return Number.NaN;
    const value = this.flags[slot] === 1 ? slipsFlag(text) : Number.NaN;
    if (Number.isNaN(value)) this.refused['unreadable value']++;
    return value;
  }

  private stampItem(role: number, packet: WitsPacket, i: number): void {
    const record = (packet.codes[i]! / 100) | 0;
    const isDate = role === DATE;
    if (this.stamps.has(record, isDate)) {
      this.refused['repeated item']++;
      if (this.touched > 0) {
        this.finishInstant(record);
        this.begin();
      }
    }
    let value = packet.values[i]!;
    if (packet.kinds[i] === EMPTY || this.nulls.has(value, false)) value = Number.NaN;
    if (packet.kinds[i] === TEXT && !isNullWord(itemText(packet, i))) this.refused['unreadable value']++;
    this.stamps.put(record, isDate, value);
  }

  private finishInstant(firstRecord: number): void {
    const record = this.bestSlot < 0 ? 0 : this.records[this.bestSlot]!;
    const strong = this.bestRank < WEAK_RANK;
    const stamp = this.stamps.instantOf(record || firstRecord);
    const hasStamp = !Number.isNaN(stamp);
    if (record === 0) {
      if (hasStamp) this.besideInOrder(firstRecord, stamp);
      return;
    }
    if (hasStamp ? this.lead.takes(record, stamp, strong) : strong) {
      this.stamped ||= hasStamp;
      this.leadInstant(record, hasStamp ? stamp : this.stampless());
      return;
    }
    const at = hasStamp ? stamp : this.order.lastStampMs;
    if (hasStamp && !this.besideInOrder(record, stamp)) return;
    for (let k = 0; k < this.touched; k++) this.held.put(this.slots[k]!, this.values[k]!, at, true);
  }

  /** R4: the instant of a leading packet without a stamp; NaN when it has none. */
  private stampless(): number {
    if (this.stamped || Number.isNaN(this.arrivalMs)) return Number.NaN;
    const newest = this.order.newestStampMs;
    // Several packets of one chunk arrive in one millisecond; only a clock that was really set back lies further back.
    return newest - this.arrivalMs < PACKETS_A_CHUNK_MS && newest >= this.arrivalMs ? newest + 1 : this.arrivalMs;
  }

  private leadInstant(record: number, stamp: number): void {
    if (Number.isNaN(stamp)) {
      this.refused['no time stamp']++;
      return;
    }
    const before = this.order.contentAt(stamp);
    if (before !== undefined) {
      this.sameInstant(before, stamp);
      return;
    }
    for (let k = 0; k < this.touched; k++) {
      const slot = this.slots[k]!;
      this.held.put(slot, this.values[k]!, stamp, this.records[slot] !== record);
    }
    this.order.offer(stamp, this.content, this.held.sampleAt(stamp, this.arrivalMs));
  }

  /** R2. */
  private sameInstant(contentBefore: number, stamp: number): void {
    if (contentBefore === this.content) {
      this.refused['repeated packet']++;
      return;
    }
    let again = 0;
    for (let k = 0; k < this.touched; k++) {
      if (this.held.isOf(this.slots[k]!, stamp)) again++;
      else this.held.put(this.slots[k]!, this.values[k]!, stamp, true);
    }
    if (again > 0) this.refused['second packet of one instant']++;
  }

  /** Order and repeats of a record that does not lead. */
  private besideInOrder(record: number, stamp: number): boolean {
    const last = this.besideStamps[record]!;
    if (stamp === last && this.besideContents[record] === this.content) {
      this.refused['repeated packet']++;
      return false;
    }
    if (stamp < last && last - stamp <= BESIDE_BACK_MS) {
      this.refused['out of order']++;
      return false;
    }
    this.besideStamps[record] = stamp;
    this.besideContents[record] = this.content;
    return true;
  }
}

/**
 * @param stream how the plan reads the source: units, channel map, nulls, zone, staleness.
 * @param sink gets each sample, `sourceMs` strictly increasing, as soon as its packet ends.
 * @throws Fault 'bad channel map' where a unit does not fit its channel.
 */
export function createWitsReader(
  stream: Job['stream'],
  sink: (sample: Sample) => void,
  options: WitsReaderOptions = {},
): StreamReader {
  return new WitsReader(stream, sink, options);
}
