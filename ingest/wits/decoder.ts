/**
 * WITS level 0, bytes to packets (API PUBL 3855 v1.1: `&&`, lines of a four-digit code and a value, `!!`). Works on
 * bytes as they come, cut anywhere; never throws on data; keeps a bounded number of bytes.
 *
 *            `&&`                      `!!`: packet out
 *   HUNTING ------> OPEN ---------------------------------> HUNTING
 *      ^  ^          |  `&&`: packet out, next one opens       |
 *      |  `---`&&`---|                                         |
 *    LOST <----------' too many bytes or items: packet dropped
 *
 * D1 A value ends at CR, LF, `!!` or `&&`, whichever comes first: the standard has no escape, so a mark within a text is
 *    a mark. One-line packets follow from this.
 * D2 A packet that meets `&&` or the end of the stream gives what its whole lines held, and counts as `no trailer`;
 *    its last line, when it has no end, is refused, since the rest of it may be missing.
 * D3 Every byte is accounted for (ByteAccount).
 * D4 A number is exactly what JavaScript's Number(text) gives.
 */

import { ByteAccount } from './byteAccount.ts';
import { EMPTY, NUMBER, TEXT, type WitsPacket } from './packet.ts';
import {
  AMP,
  BANG,
  CR,
  codeAt,
  DOT,
  LF,
  latin1,
  lineEnd,
  MINUS,
  mayBeNumber,
  PLUS,
  SPACE,
  TAB,
  ZERO,
} from './witsBytes.ts';

export const DECODER_LIMITS = {
  /** A packet of all 1,031 published items is about 20 kB. */
  packetBytes: 64 * 1024,
  items: 2048,
  /** The longest published item holds 256 characters. */
  lineBytes: 1024,
  /** Bytes worked on at a time; with `packetBytes` this bounds what is kept. */
  sliceBytes: 64 * 1024,
} as const;

const HUNTING = 0;
const OPEN = 1;
const LOST = 2;

const POWERS_OF_TEN = Float64Array.from({ length: 23 }, (_, k) => Number(`1e${k}`));
/** Below this a mantissa is exact in a double, so that mantissa / 10^k (k ≤ 22) is rounded once, as Number() rounds. */
const EXACT_BELOW = 2 ** 53;

export class WitsDecoder extends ByteAccount {
  private readonly sink: (packet: WitsPacket) => void;
  private readonly buffer = new Uint8Array(DECODER_LIMITS.packetBytes + DECODER_LIMITS.sliceBytes + 8);
  private state: typeof HUNTING | typeof OPEN | typeof LOST = HUNTING;
  /** buffer[0, end) holds what is not yet done with; work goes on at `at`, the open packet began at `packetStart`. */
  private end = 0;
  private at = 0;
  private packetStart = 0;
  /** No line end lies in buffer[at, searched): a line that comes byte by byte is not searched again and again. */
  private searched = 0;
  private readonly packet: WitsPacket;

  constructor(sink: (packet: WitsPacket) => void) {
    super();
    this.sink = sink;
    this.packet = {
      count: 0,
      codes: new Uint16Array(DECODER_LIMITS.items),
      values: new Float64Array(DECODER_LIMITS.items),
      kinds: new Uint8Array(DECODER_LIMITS.items),
      starts: new Int32Array(DECODER_LIMITS.items),
      ends: new Int32Array(DECODER_LIMITS.items),
      bytes: this.buffer,
      endedBy: 'trailer',
    };
  }

  /** Bytes kept for what is still to come: at most `packetBytes` between two calls of `push`. */
  get retained(): number {
    return this.end;
  }

  push(chunk: Uint8Array): void {
    for (let from = 0; from < chunk.length; from += DECODER_LIMITS.sliceBytes) {
      const to = Math.min(chunk.length, from + DECODER_LIMITS.sliceBytes);
      this.buffer.set(from === 0 && to === chunk.length ? chunk : chunk.subarray(from, to), this.end);
      this.end += to - from;
      this.bytes += to - from;
      // Zeros behind the last byte stop every loop over digits and blanks without a test for the end.
      this.buffer[this.end] = 0;
      this.buffer[this.end + 1] = 0;
      this.work();
      this.compact();
    }
  }

  /** The stream ends here (D2). The decoder may be used on. */
  finish(): void {
    if (this.state === OPEN) {
      if (this.at < this.end) this.refuseLine('cut line', this.end);
      this.close(this.end, 'end of stream');
    } else {
      this.countOutside(this.end - this.at, 0);
    }
    this.state = HUNTING;
    this.at = this.end;
    this.compact();
  }

  private work(): void {
    let before: number;
    do {
      before = this.state;
      switch (this.state) {
        case HUNTING:
        case LOST:
          this.hunt();
          break;
        case OPEN:
          this.readLines();
          break;
      }
    } while (this.state !== before);
  }

  /** Looks for `&&`; stops with at most one byte, a single `&`, not yet judged. */
  private hunt(): void {
    const { buffer, end } = this;
    let at = this.at;
    let blanks = 0;
    const from = at;
    while (at < end) {
      const b = buffer[at]!;
      if (b === AMP) {
        if (at + 1 === end) break;
        if (buffer[at + 1] === AMP) {
          this.countOutside(at - from, blanks);
          this.open(at);
          return;
        }
      } else if (b === LF || b === CR || b === SPACE || b === TAB) blanks++;
      at++;
    }
    this.countOutside(at - from, blanks);
    this.at = at;
  }

  private countOutside(bytes: number, blanks: number): void {
    if (this.state === LOST) this.bytesOfLost(bytes);
    else this.bytesOutside(bytes, blanks);
  }

  private open(at: number): void {
    this.state = OPEN;
    this.packetStart = at;
    this.at = at + 2;
    this.searched = this.at;
    this.packetOpens();
    this.packet.count = 0;
  }

  /**
   * Reads whole lines of the open packet; leaves `at` at the first one that is not all there. Codes and plain numbers
   * are read here in one go, everything else goes to `oddLine`: one long function, since nearly all of the decoder's
   * time is spent in it and it is the part that was measured.
   */
  private readLines(): void {
    const { buffer, end } = this;
    let at = this.at;
    if (this.searched > at && lineEnd(buffer, this.searched, end) < 0) {
      this.wait(at);
      return;
    }
    const { codes, values, kinds, starts, ends } = this.packet;
    const { packetBytes, items, lineBytes } = DECODER_LIMITS;
    const limit = this.packetStart + packetBytes;
    for (;;) {
      let b = buffer[at]!;
      while (b === LF || b === CR || b === SPACE || b === TAB) b = buffer[++at]!;
      if (at >= end) {
        this.wait(at);
        return;
      }
      const d1 = b - ZERO;
      const d2 = buffer[at + 1]! - ZERO;
      const d3 = buffer[at + 2]! - ZERO;
      const d4 = buffer[at + 3]! - ZERO;
      if (d1 >>> 0 > 9 || d2 >>> 0 > 9 || d3 >>> 0 > 9 || d4 >>> 0 > 9) {
        if ((b === BANG || b === AMP) && buffer[at + 1] === b && at + 1 < end) {
          if (at + 2 > limit) {
            this.lose(at);
            return;
          }
          if (b === BANG) this.closeWithTrailer(at);
          else this.closeWithNext(at);
          return;
        }
        if (!this.oddLine(at)) return;
        at = this.at;
        continue;
      }
      let q = at + 4;
      b = buffer[q]!;
      while (b === SPACE || b === TAB) b = buffer[++q]!;
      const start = q;
      if (b === MINUS || b === PLUS) b = buffer[++q]!;
      let digits = q;
      let mantissa = 0;
      for (let d = b - ZERO; d >>> 0 <= 9; d = b - ZERO) {
        mantissa = mantissa * 10 + d;
        b = buffer[++q]!;
      }
      digits = q - digits;
      let decimals = 0;
      if (b === DOT) {
        b = buffer[++q]!;
        decimals = q;
        for (let d = b - ZERO; d >>> 0 <= 9; d = b - ZERO) {
          mantissa = mantissa * 10 + d;
          b = buffer[++q]!;
        }
        decimals = q - decimals;
        digits += decimals;
      }
      const stop = q;
      while (b === SPACE || b === TAB) b = buffer[++q]!;
      if ((b !== LF && b !== CR) || digits === 0 || decimals > 22 || mantissa >= EXACT_BELOW) {
        if (!this.oddLine(at)) return;
        at = this.at;
        continue;
      }
      const code = ((d1 * 10 + d2) * 10 + d3) * 10 + d4;
      const n = this.packet.count;
      if (q > limit || n >= items) {
        this.lose(at);
        return;
      }
      if (q - at > lineBytes || code < 101 || code % 100 === 0) {
        this.at = at;
        this.refuseLine(q - at > lineBytes ? 'line too long' : 'malformed line', q);
        at = this.at;
        continue;
      }
      const value = decimals === 0 ? mantissa : mantissa / POWERS_OF_TEN[decimals]!;
      codes[n] = code;
      values[n] = buffer[start] === MINUS ? -value : value;
      kinds[n] = NUMBER;
      starts[n] = start;
      ends[n] = stop;
      this.packet.count = n + 1;
      at = q;
    }
  }

  /** A line off the beaten track: text, exponent, mark in the line, no code, not all there. False: the run is over. */
  private oddLine(at: number): boolean {
    this.at = at;
    const { buffer } = this;
    const limit = this.packetStart + DECODER_LIMITS.packetBytes;
    const stop = lineEnd(buffer, Math.max(at, this.searched), this.end);
    if (stop < 0) {
      this.wait(at);
      return false;
    }
    if (stop > limit || this.packet.count >= DECODER_LIMITS.items) {
      this.lose(at);
      return false;
    }
    const code = codeAt(buffer, at, stop);
    // D2: a line that runs into the next packet's mark has lost its end.
    if (buffer[stop] === AMP) this.refuseLine('cut line', stop);
    else if (stop - at > DECODER_LIMITS.lineBytes) this.refuseLine('line too long', stop);
    else if (code < 0) this.refuseLine('malformed line', stop);
    else this.addItem(code, at + 4, stop);
    this.at = stop;
    return true;
  }

  private addItem(code: number, from: number, to: number): void {
    const { packet, buffer } = this;
    let start = from;
    let stop = to;
    while (start < stop && (buffer[start] === SPACE || buffer[start] === TAB)) start++;
    while (stop > start && (buffer[stop - 1] === SPACE || buffer[stop - 1] === TAB)) stop--;
    const value = start === stop || !mayBeNumber(buffer[start]!) ? Number.NaN : Number(latin1(buffer, start, stop));
    const n = packet.count++;
    packet.codes[n] = code;
    packet.values[n] = value;
    packet.kinds[n] = start === stop ? EMPTY : Number.isNaN(value) ? TEXT : NUMBER;
    packet.starts[n] = start;
    packet.ends[n] = stop;
  }

  private refuseLine(reason: 'malformed line' | 'line too long' | 'cut line', stop: number): void {
    this.lineRefused(reason, stop - this.at);
    this.at = stop;
  }

  /** The line at `at` is not all there. A packet that is already too long is given up (without looking on). */
  private wait(at: number): void {
    const { buffer, end } = this;
    if (end > this.packetStart + DECODER_LIMITS.packetBytes) {
      this.lose(at);
      return;
    }
    this.at = at;
    // A single mark at the very end may be the first half of a pair.
    const last = buffer[end - 1];
    this.searched = Math.max(at, last === BANG || last === AMP ? end - 1 : end);
  }

  private lose(at: number): void {
    this.packetRefused('packet too long', at - this.packetStart);
    this.at = at;
    this.state = LOST;
  }

  private closeWithTrailer(at: number): void {
    this.close(at + 2, 'trailer');
    this.state = HUNTING;
    this.at = at + 2;
  }

  /** Leaves for HUNTING at the mark, which finds it at once and opens the next packet. */
  private closeWithNext(at: number): void {
    this.close(at, 'next packet');
    this.state = HUNTING;
    this.at = at;
  }

  private close(stop: number, by: WitsPacket['endedBy']): void {
    const { packet } = this;
    if (packet.count === 0) {
      this.packetRefused('empty packet', stop - this.packetStart);
      return;
    }
    this.packetTaken(stop - this.packetStart, by === 'trailer');
    packet.endedBy = by;
    this.sink(packet);
  }

  /** Moves what is still needed to the front of the buffer. */
  private compact(): void {
    const from = this.state === OPEN ? this.packetStart : this.at;
    if (from === 0) return;
    this.buffer.copyWithin(0, from, this.end);
    if (this.state === OPEN) {
      const { starts, ends, count } = this.packet;
      for (let i = 0; i < count; i++) {
        starts[i] = starts[i]! - from;
        ends[i] = ends[i]! - from;
      }
    }
    this.end -= from;
    this.at -= from;
    this.searched = Math.max(0, this.searched - from);
    this.packetStart = Math.max(0, this.packetStart - from);
  }
}
