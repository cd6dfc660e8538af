/** What the readers of tables have in common: counts, notes, the one line of a file that cannot be read. */
import type { Sample } from '../../src/channels.ts';
import type { Job } from '../../src/plan/job.ts';
import type { ReaderCounts, StreamReader } from '../streamReader.ts';
import { cellText, shownText } from './cellText.ts';
import { type ColumnMap, checkMappings, columnMap, type TableColumn } from './columnMap.ts';
import { noRowRefusals, ROW_REFUSAL_REASONS, type RowRefusalReason } from './rowRefusals.ts';
import { RowSampler } from './rowSampler.ts';
import { type TimeColumns, timeIndices } from './timeColumns.ts';

export interface UnderstoodColumn {
  readonly name: string;
  /** As a person reads it; empty for none. */
  readonly unit: string;
  /** `time`: it makes the time of the rows. Null: it feeds nothing. */
  readonly feeds: ColumnMap['read'][number]['channel'] | 'time' | null;
  readonly unitFrom: 'file' | 'map' | 'assumed';
}

/** A reader of a recorded table, which has columns. */
export interface TableReader extends StreamReader {
  /** Empty until the column names have been read. */
  readonly columns: readonly UnderstoodColumn[];
}

export interface Table {
  readonly columns: readonly TableColumn[];
  readonly time: TimeColumns;
  readonly commas: boolean;
}

const EXPECTED_TIME = 'ISO 8601 such as 2031-03-04T12:00:00Z, a date and a time, or seconds since 1970';
const NOTES = 100;

export class TableIntake {
  bytes = 0;
  rows = 0;
  readonly refused = noRowRefusals();
  refusal: string | null = null;
  columns: readonly UnderstoodColumn[] = [];
  private readonly stream: Job['stream'];
  private readonly sink: (sample: Sample) => void;
  private sampler: RowSampler | null = null;
  private readonly said: string[] = [];

  /** @throws Fault 'bad channel map' where a unit does not fit its channel. */
  constructor(stream: Job['stream'], sink: (sample: Sample) => void) {
    checkMappings(stream);
    this.stream = stream;
    this.sink = sink;
  }

  get begun(): boolean {
    return this.sampler !== null;
  }

  /** Nothing more is read; the first reason stands. */
  refuse(line: string): void {
    if (this.refusal !== null) return;
    this.refusal = line;
    this.refused['broken off']++;
  }

  note(line: string): void {
    if (this.said.length < NOTES && !this.said.includes(line)) this.said.push(line);
  }

  get notes(): readonly string[] {
    return this.sampler?.newestFirst ? [...this.said, 'the newest rows come first: put in order'] : this.said;
  }

  begin({ columns, time, commas }: Table): void {
    const times = timeIndices(time);
    const map = columnMap(columns, times, this.stream);
    const byIndex = new Map(map.read.map((column) => [column.index, column]));
    this.columns = columns.map(({ name, unit }, index): UnderstoodColumn => {
      const read = byIndex.get(index);
      const feeds = read?.channel ?? (times.includes(index) ? 'time' : null);
      return { name: cellText(name), unit: cellText(read?.unit ?? unit), feeds, unitFrom: read?.unitFrom ?? 'file' };
    });
    for (const note of map.notes) this.note(note);
    this.sampler = new RowSampler({ columns: columns.length, map, time, commas }, this.stream, this.sink, this.refused);
  }

  /** A row of the table that has begun. */
  row(cells: readonly string[]): void {
    this.rows++;
    this.sampler!.row(cells);
  }

  /** A row that makes no sample, for a reason that its reader knows. */
  lostRow(reason: RowRefusalReason): void {
    this.rows++;
    this.refused[reason]++;
  }

  end(): void {
    const { sampler } = this;
    sampler?.end();
    if (sampler && sampler.timed === 0 && sampler.oddTime !== '') {
      this.refuse(`found the time ${shownText(sampler.oddTime)}, expected ${EXPECTED_TIME}`);
    }
  }

  get counts(): ReaderCounts {
    const ordered = this.sampler?.ordered ?? {};
    const rejected: Record<string, number> = {};
    for (const reason of ROW_REFUSAL_REASONS) {
      const count = this.refused[reason] + (ordered[reason] ?? 0);
      if (count > 0) rejected[reason] = count;
    }
    return {
      bytes: this.bytes,
      frames: this.rows,
      samples: this.sampler?.samples ?? 0,
      rejected,
      unknownCodes: this.sampler?.unknownColumns ?? new Map(),
    };
  }
}
