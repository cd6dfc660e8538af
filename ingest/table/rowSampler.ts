/**
 * Rows of a table to samples.
 *
 *   cells ─ instant ─ values by column ─ RowDirection ─ HeldValues (which column a channel takes) ─ RunOrder ─ sink
 *
 * S1 A row makes one sample or is counted under one reason, never both and never neither.
 * S2 Order, repeats and steps of the clock are judged as those of a live stream (`wits/runOrder`): one rule for all.
 */
import type { Sample } from '../../src/channels.ts';
import type { Job } from '../../src/plan/job.ts';
import type { UnknownCode } from '../streamReader.ts';
import { HeldValues } from '../wits/heldValues.ts';
import { NullValues } from '../wits/nullValue.ts';
import { type OrderCounts, RunOrder } from '../wits/runOrder.ts';
import { slipsFlag } from '../wits/slipsFlag.ts';
import { CellNumbers, UNREADABLE } from './cellNumber.ts';
import type { ColumnMap } from './columnMap.ts';
import { Instants } from './instant.ts';
import { RowDirection } from './rowDirection.ts';
import type { RowRefusalReason } from './rowRefusals.ts';
import { instantOf, type TimeColumns, timeText } from './timeColumns.ts';
import { UnknownColumns } from './unknownColumns.ts';

/** Mixes the values of a row, in order, into one number; below 1, so that it stays finite. */
const CONTENT_MIX = 0.754877666246693;

export interface SamplerOptions {
  readonly columns: number;
  readonly map: ColumnMap;
  readonly time: TimeColumns;
  /** Whether a decimal comma is possible, since no comma separates cells. */
  readonly commas: boolean;
}

export class RowSampler {
  samples = 0;
  /** Rows whose time could be read. */
  timed = 0;
  /** What stood where the first unreadable time should be. */
  oddTime = '';
  private readonly options: SamplerOptions;
  private readonly refused: Record<RowRefusalReason, number>;
  private readonly order: OrderCounts = {
    'repeated packet': 0,
    'out of order': 0,
    'odd time stamp': 0,
    'clock step': 0,
  };
  private readonly run: RunOrder;
  private readonly held: HeldValues;
  private readonly direction: RowDirection;
  private readonly instants: Instants;
  private readonly numbers: CellNumbers;
  private readonly nulls: readonly NullValues[];
  private readonly unknown: UnknownColumns;
  private readonly values: Float64Array;

  constructor(
    options: SamplerOptions,
    stream: Job['stream'],
    sink: (sample: Sample) => void,
    refused: Record<RowRefusalReason, number>,
  ) {
    const { read, unknown } = options.map;
    this.options = options;
    this.refused = refused;
    this.instants = new Instants(stream.utcOffsetMs);
    this.numbers = new CellNumbers(options.commas);
    this.nulls = read.map(({ nulls }) => new NullValues([...stream.nulls, ...nulls]));
    this.unknown = new UnknownColumns(unknown);
    this.values = new Float64Array(read.length);
    this.held = new HeldValues(read, stream.gapAfterMs);
    this.direction = new RowDirection(read.length, (stampMs, values) => this.pass(stampMs, values));
    const out = (sample: Sample) => {
      this.samples++;
      sink(sample);
    };
    this.run = new RunOrder(stream.gapAfterMs, out, this.order);
  }

  /** The cells of a row as they stand, one a column; any number of empty ones behind the last. */
  row(cells: readonly string[]): void {
    if (!this.fits(cells)) {
      this.refused['ragged row']++;
      return;
    }
    const stampMs = instantOf(this.options.time, cells, this.instants);
    if (Number.isNaN(stampMs)) {
      if (this.oddTime === '') this.oddTime = timeText(this.options.time, cells);
      this.refused['unreadable time']++;
      return;
    }
    this.timed++;
    this.readValues(cells);
    this.refused['unlisted column'] += this.unknown.note(cells);
    this.direction.take(stampMs, this.values);
  }

  end(): void {
    this.direction.end();
    this.run.end();
  }

  get newestFirst(): boolean {
    return this.direction.direction === 'newest first';
  }

  get unknownColumns(): Map<number | string, UnknownCode> {
    return this.unknown.list();
  }

  /** Counts of the order, by the names that rows have. */
  get ordered(): Partial<Record<RowRefusalReason, number>> {
    const { order } = this;
    return {
      'repeated row': order['repeated packet'],
      'out of order': order['out of order'],
      'odd time stamp': order['odd time stamp'],
      'clock step': order['clock step'],
      'row beyond the limit': this.direction.beyond,
    };
  }

  private fits(cells: readonly string[]): boolean {
    const { columns } = this.options;
    if (cells.length < columns) return false;
    for (let i = columns; i < cells.length; i++) if (cells[i] !== '') return false;
    return true;
  }

  private readValues(cells: readonly string[]): void {
    const { read } = this.options.map;
    for (let slot = 0; slot < read.length; slot++) {
      const column = read[slot]!;
      const text = cells[column.index]!.trim();
      const value = this.numbers.read(text);
      this.values[slot] =
        value === UNREADABLE
          ? this.wordOf(text, slot)
          : this.valueOf(value as number, slot, column.channel === 'inSlips');
    }
  }

  private valueOf(value: number, slot: number, flag: boolean): number {
    if (Number.isNaN(value) || this.nulls[slot]!.has(value, false)) return Number.NaN;
    if (flag) return value === 0 ? 0 : 1;
    const { scale, offset } = this.options.map.read[slot]!;
    return value * scale + offset;
  }

  private wordOf(text: string, slot: number): number {
    const flag = this.options.map.read[slot]!.channel === 'inSlips' ? slipsFlag(text) : Number.NaN;
    if (Number.isNaN(flag)) this.refused['unreadable value']++;
    return flag;
  }

  private pass(stampMs: number, values: Float64Array): void {
    let content = 0;
    for (const value of values) if (!Number.isNaN(value)) content = content * CONTENT_MIX + value;
    const before = this.run.contentAt(stampMs);
    if (before !== undefined) {
      if (before === content) this.order['repeated packet']++;
      else this.refused['second row of one instant']++;
      return;
    }
    for (let slot = 0; slot < values.length; slot++) this.held.put(slot, values[slot]!, stampMs, false);
    this.run.offer(stampMs, content, this.held.sampleAt(stampMs, Number.NaN));
  }
}
