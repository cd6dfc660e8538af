/** The DATE and TIME items of the packet at hand, by record. */
import type { RecordClock } from './recordClock.ts';

const RECORDS = 100;

export class PacketStamps {
  private readonly clock: RecordClock;
  private readonly dates = new Float64Array(RECORDS);
  private readonly times = new Float64Array(RECORDS);
  private readonly hasDate = new Uint8Array(RECORDS);
  private readonly hasTime = new Uint8Array(RECORDS);
  /** Records with either, in the order they came, each once. */
  private readonly records = new Uint8Array(RECORDS);
  private count = 0;

  constructor(clock: RecordClock) {
    this.clock = clock;
  }

  clear(): void {
    for (let k = 0; k < this.count; k++) {
      const record = this.records[k]!;
      this.dates[record] = Number.NaN;
      this.hasDate[record] = 0;
      this.hasTime[record] = 0;
    }
    this.count = 0;
  }

  has(record: number, isDate: boolean): boolean {
    return (isDate ? this.hasDate : this.hasTime)[record] === 1;
  }

  /** @param value NaN where the item holds no number. */
  put(record: number, isDate: boolean, value: number): void {
    if (this.hasDate[record] === 0 && this.hasTime[record] === 0) {
      this.records[this.count++] = record;
      this.dates[record] = Number.NaN;
    }
    (isDate ? this.hasDate : this.hasTime)[record] = 1;
    (isDate ? this.dates : this.times)[record] = value;
  }

  /** The instant of a record of this packet: its own, else that of the first that has a TIME; NaN for none. */
  instantOf(record: number): number {
    if (this.hasTime[record] === 1) return this.clock.instant(record, this.dates[record]!, this.times[record]!);
    for (let k = 0; k < this.count; k++) {
      const other = this.records[k]!;
      if (this.hasTime[other] === 1) return this.clock.instant(other, this.dates[other]!, this.times[other]!);
    }
    return Number.NaN;
  }
}
