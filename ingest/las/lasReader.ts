/**
 * A log in LAS 2.0 (Canadian Well Logging Society, update of January 2014) by time, wrapped or not, to samples.
 *
 * L1 A file without ~V, ~W, ~C or ~A, of another version, or by depth is refused with one line.
 * L2 Mnemonics that stand twice are numbered: the second HKLA is HKLA:2.
 * L3 NULL of the header means "none" besides the nulls of the stream.
 * L4 STRT and STOP that differ from the index of the first and last row are said: the log may have been cut short.
 * L5 What stands behind the rows (~A is the last section) is counted and not read.
 */
import type { Sample } from '../../src/channels.ts';
import { createLasFold, LAS_LIMITS, type LasFold, saysNothing, takeLasLine } from '../../src/engineering/lasFold.ts';
import type { Job } from '../../src/plan/job.ts';
import { numberedColumns } from '../csv/csvHeader.ts';
import type { ReaderCounts } from '../streamReader.ts';
import { ByteText } from '../table/byteText.ts';
import { cellText, shownText } from '../table/cellText.ts';
import type { TableColumn } from '../table/columnMap.ts';
import { LineSplitter } from '../table/lineSplitter.ts';
import { TableIntake, type TableReader, type UnderstoodColumn } from '../table/tableIntake.ts';
import { lasTime } from './lasTime.ts';

const VERSION_2 = /^2(\.0*)?$/;
const NUMBER = /^[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?$/;

/** L1: why a header cannot be read; null where it can. */
export function headerFault(fold: LasFold): string | null {
  const { versionLine, wellLine, curvesLine, dataLine } = fold;
  const lines = [
    ['~V', versionLine],
    ['~W', wellLine],
    ['~C', curvesLine],
    ['~A', dataLine],
  ] as const;
  const missing = lines.filter(([, line]) => line === 0).map(([section]) => section);
  if (missing.length > 0) return `found no section ${missing.join(', ')}, expected ~V, ~W, ~C and ~A`;
  if (!VERSION_2.test(fold.version))
    return `line ${versionLine}: found LAS version ${shownText(fold.version)}, expected 2.0`;
  if (fold.beyond > 0) return `found more than ${LAS_LIMITS.curves} curves or too long a header, expected fewer`;
  if (fold.curves.length < 2)
    return `line ${curvesLine}: found ${fold.curves.length} curves in ~C, expected two or more`;
  if (fold.nullValue !== '' && !NUMBER.test(fold.nullValue)) {
    return `line ${wellLine}: found NULL ${shownText(fold.nullValue)}, expected a number`;
  }
  return null;
}

/** L4. */
function spanNote(fold: LasFold, name: 'STRT' | 'STOP', index: string): string | null {
  const said = fold.well.find(({ mnemonic }) => mnemonic === name)?.data ?? '';
  if (!NUMBER.test(said) || !NUMBER.test(index) || Number(said) === Number(index)) return null;
  const row = name === 'STRT' ? 'first' : 'last';
  return `${name} of the header is ${shownText(said)}, the index of the ${row} row ${shownText(index)}`;
}

class LasReader implements TableReader {
  private readonly intake: TableIntake;
  private readonly stream: Job['stream'];
  private readonly fold = createLasFold();
  private firstIndex = '';
  private lastIndex = '';
  private readonly lines = new LineSplitter(
    (line) => this.line(line.trim()),
    () => this.intake.refused['line too long']++,
  );
  private readonly text = new ByteText((piece) => this.lines.push(piece));

  constructor(stream: Job['stream'], sink: (sample: Sample) => void) {
    this.intake = new TableIntake(stream, sink);
    this.stream = stream;
  }

  push(bytes: Uint8Array, _arrivalMs: number): void {
    this.intake.bytes += bytes.length;
    if (this.intake.refusal === null) this.text.push(bytes);
  }

  end(): void {
    const { fold, intake } = this;
    if (intake.refusal === null) {
      this.text.end();
      this.lines.end();
      if (fold.open !== null) this.row(fold.open.cells);
      fold.open = null;
      const fault = headerFault(fold);
      if (!intake.begun && fault !== null) intake.refuse(fault);
      else this.noteSpan();
    }
    intake.end();
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

  private line(line: string): void {
    const { fold, intake } = this;
    if (intake.refusal !== null) return;
    const behind = fold.dataLine > 0 && (fold.section !== 'A' || /^~[^aA]/.test(line));
    if (behind && !saysNothing(line)) {
      // L5: a section behind ~A ends the log for good, also where another ~A follows.
      fold.section = 'O';
      intake.refused['line after the data']++;
      return;
    }
    takeLasLine(fold, line, this.lines.number, ({ cells }) => this.row(cells));
  }

  private noteSpan(): void {
    for (const [name, index] of [
      ['STRT', this.firstIndex],
      ['STOP', this.lastIndex],
    ] as const) {
      const note = spanNote(this.fold, name, index);
      if (note !== null) this.intake.note(note);
    }
  }

  private row(cells: readonly string[]): void {
    const { intake } = this;
    if (intake.refusal !== null) return;
    if (!intake.begun) this.begin(cells);
    if (!intake.begun) return;
    this.lastIndex = cells[0]!;
    intake.row(cells);
  }

  /** @param first cells of the first row */
  private begin(first: readonly string[]): void {
    const { fold, intake } = this;
    this.firstIndex = first[0]!;
    const fault = headerFault(fold);
    if (fault !== null) {
      intake.refuse(fault);
      return;
    }
    const time = lasTime(fold, first, this.stream.utcOffsetMs);
    if (time.kind === 'refused') {
      intake.refuse(time.line);
      return;
    }
    if (time.note !== null) intake.note(time.note);
    const nulls = fold.nullValue === '' ? [] : [Number(fold.nullValue)];
    const columns = fold.curves.map(
      ({ mnemonic, unit }): TableColumn => ({ name: cellText(mnemonic), unit: cellText(unit), nulls }),
    );
    intake.begin({ columns: numberedColumns(columns), time: time.columns, commas: true });
  }
}

/**
 * @param stream how the plan reads the source: units, channel map, nulls, zone, staleness.
 * @throws Fault 'bad channel map' where a unit does not fit its channel.
 */
export function createLasReader(stream: Job['stream'], sink: (sample: Sample) => void): TableReader {
  return new LasReader(stream, sink);
}
