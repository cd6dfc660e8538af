/**
 * A recorded table as CSV (RFC 4180; also with semicolons or tabs) to samples.
 *
 *   bytes ─ ByteText ─ LineSplitter ─ lines of one row ─┬─ header, row of units
 *                                                       └─ cells ─ TableIntake ─ samples
 *
 * V1 The header is the first line with two columns or more, one of them called what times are called.
 * V2 A row whose quoted cell does not end within a few lines is refused by its first line alone; what follows is read.
 * V3 A decimal comma is read where cells are separated by something else.
 */
import type { Sample } from '../../src/channels.ts';
import type { Job } from '../../src/plan/job.ts';
import type { ReaderCounts } from '../streamReader.ts';
import { ByteText } from '../table/byteText.ts';
import { shownText } from '../table/cellText.ts';
import { COLUMN_LIMITS } from '../table/columnMap.ts';
import { LINE_LIMITS, LineSplitter } from '../table/lineSplitter.ts';
import { TableIntake, type TableReader, type UnderstoodColumn } from '../table/tableIntake.ts';
import { csvCells } from './csvCells.ts';
import { type CsvHeader, csvHeader, withUnitRow } from './csvHeader.ts';

export const CSV_LIMITS = {
  /** Lines that are looked at for a header. */
  linesBeforeHeader: 64,
  /** Lines of one row. */
  linesARow: 16,
} as const;

type Place =
  | { readonly kind: 'before the header' }
  | { readonly kind: 'below the header'; readonly header: CsvHeader }
  | { readonly kind: 'rows'; readonly header: CsvHeader };

export class CsvReader implements TableReader {
  private readonly intake: TableIntake;
  private readonly lines: LineSplitter;
  private readonly text = new ByteText((piece) => this.lines.push(piece));
  private place: Place = { kind: 'before the header' };
  private firstLine = '';
  /** Lines of a row whose quoted cell is open. */
  private open: string[] = [];

  constructor(stream: Job['stream'], sink: (sample: Sample) => void) {
    this.intake = new TableIntake(stream, sink);
    this.lines = new LineSplitter(
      (line) => this.line(line),
      () => this.tooLong(),
    );
  }

  push(bytes: Uint8Array, _arrivalMs: number): void {
    this.intake.bytes += bytes.length;
    if (this.intake.refusal === null) this.text.push(bytes);
  }

  end(): void {
    if (this.intake.refusal === null) {
      this.text.end();
      this.lines.end();
      this.dropOpen();
      if (this.place.kind === 'before the header') this.noHeader();
    }
    this.intake.end();
  }

  get counts(): ReaderCounts {
    return this.intake.counts;
  }
  get refusal(): string | null {
    return this.intake.refusal;
  }
  get notes(): readonly string[] {
    return this.intake.notes;
  }
  get columns(): readonly UnderstoodColumn[] {
    return this.intake.columns;
  }

  private tooLong(): void {
    this.intake.refused['line too long']++;
    if (this.place.kind !== 'before the header') return;
    this.intake.refuse(
      `line ${this.lines.number}: found more than ${LINE_LIMITS.characters} characters, expected a header`,
    );
  }

  private line(line: string): void {
    if (this.intake.refusal !== null) return;
    const { place } = this;
    if (place.kind === 'before the header') this.beforeHeader(line);
    else if (this.open.length > 0) this.continued(line, place.header);
    else if (line.trim() !== '') this.row(line, place.header);
  }

  /** V1. */
  private beforeHeader(line: string): void {
    if (line.trim() === '') return;
    if (this.firstLine === '') this.firstLine = line.slice(0, 200);
    const found = csvHeader(line);
    if (found.kind === 'header') {
      this.place = { kind: 'below the header', header: found.header };
      return;
    }
    this.intake.refused['line before the header']++;
    if (found.kind === 'too many columns') {
      this.intake.refuse(`line ${this.lines.number}: found more than ${COLUMN_LIMITS.columns} columns, expected fewer`);
    } else if (this.lines.number >= CSV_LIMITS.linesBeforeHeader) this.noHeader();
  }

  private noHeader(): void {
    this.intake.refuse(
      `line 1: found ${shownText(this.firstLine)}, expected a header with a time column (Time, Date and Time, Timestamp) ` +
        `in the first ${CSV_LIMITS.linesBeforeHeader} lines`,
    );
  }

  private row(line: string, header: CsvHeader): void {
    const cells = csvCells(line, header.separator, header.columns.length + 2);
    if (cells === null) this.open.push(line);
    else this.cells(cells);
  }

  private continued(line: string, header: CsvHeader): void {
    this.open.push(line);
    const row = this.open.join('\n');
    const tooMuch = this.open.length >= CSV_LIMITS.linesARow || row.length > LINE_LIMITS.characters;
    const cells = csvCells(row, header.separator, header.columns.length + 2);
    if (cells !== null) {
      this.open = [];
      this.cells(cells);
    } else if (tooMuch) this.reread();
  }

  /** V2. */
  private reread(): void {
    const [, ...rest] = this.open;
    this.open = [];
    this.intake.lostRow('unclosed quote');
    for (const line of rest) this.line(line);
  }

  private dropOpen(): void {
    while (this.open.length > 0) this.reread();
  }

  private cells(cells: readonly string[]): void {
    const { place } = this;
    if (place.kind === 'below the header') {
      const withUnits = withUnitRow(place.header, cells);
      const header = withUnits ?? place.header;
      this.place = { kind: 'rows', header };
      this.intake.begin({ columns: header.columns, time: header.time, commas: header.separator !== ',' });
      if (withUnits !== null) return;
    }
    this.intake.row(cells);
  }
}

/**
 * @param stream how the plan reads the source: units, channel map, nulls, zone, staleness.
 * @throws Fault 'bad channel map' where a unit does not fit its channel.
 */
export function createCsvReader(stream: Job['stream'], sink: (sample: Sample) => void): TableReader {
  return new CsvReader(stream, sink);
}
