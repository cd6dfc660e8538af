/**
 * A log in WITSML 1.4.1.1 by time to samples.
 *
 *   bytes ─ ByteText ─ XmlGuard (caps) ─ elements of one log ─ header ─ rows ─ TableIntake ─ samples
 *
 * W1 The root is `logs` of the namespace of the 1 series, version 1.4.1; elements of other namespaces are passed over.
 * W2 Of several logs the first by time that has rows is read; the others are named in a note, their rows counted.
 * W3 Rows that come newest first (direction decreasing; seen from the rows, not believed) are put in order at the end,
 *    within a bound.
 * W4 An empty cell is always a null; nulls of a curve come before those of the log.
 */
import type { SaxesTagNS } from 'saxes';
import type { Sample } from '../../src/channels.ts';
import type { Job } from '../../src/plan/job.ts';
import { csvCells } from '../csv/csvCells.ts';
import { numberedColumns } from '../csv/csvHeader.ts';
import type { ReaderCounts } from '../streamReader.ts';
import { ByteText } from '../table/byteText.ts';
import { cellText, shownText } from '../table/cellText.ts';
import { TableIntake, type TableReader, type UnderstoodColumn } from '../table/tableIntake.ts';
import { createLogHeader, isTimeIndex, LOG_LIMITS, type LogCurve, type LogHeader, logTable } from './logHeader.ts';
import { XML_LIMITS, XmlGuard } from './xmlGuard.ts';

const NAMESPACE = 'http://www.witsml.org/schemas/1series';
const VERSION = /^1\.4\.1(\.\d+)?$/;

/** Elements of a log whose text is kept, by their path below `logs`. */
const HEADER_TEXTS: Readonly<Record<string, keyof Omit<LogHeader, 'curves'>>> = {
  'log/name': 'name',
  'log/indexType': 'indexType',
  'log/indexCurve': 'indexCurve',
  'log/nullValue': 'nullValue',
  'log/dataDelimiter': 'delimiter',
  'log/logData/mnemonicList': 'mnemonics',
  'log/logData/unitList': 'units',
};
const CURVE_TEXTS: Readonly<Record<string, keyof LogCurve>> = {
  'log/logCurveInfo/mnemonic': 'mnemonic',
  'log/logCurveInfo/unit': 'unit',
  'log/logCurveInfo/nullValue': 'nullValue',
};
const ROW = 'log/logData/data';
/** Names of logs that a note lists. */
const NAMED_LOGS = 5;

/** Whether the rows of the log that is open are read. */
type Choice = 'open' | 'read' | 'passed over';

class WitsmlReader implements TableReader {
  private readonly intake: TableIntake;
  private readonly xml = new XmlGuard({
    open: (tag) => this.open(tag),
    text: (text) => this.keep(text),
    close: () => this.close(),
  });
  private readonly text = new ByteText((piece) => this.xml.push(piece));
  /** Local names below the root; of another namespace: '' in their place. */
  private readonly path: string[] = [];
  private below = '';
  private rooted = false;
  private wanted = false;
  private content = '';
  private header = createLogHeader();
  private chosen: LogHeader | null = null;
  private choice: Choice = 'open';
  private mnemonicsRead = '';
  private delimiter: ',' | ';' | '\t' = ',';
  private width = 0;
  private logs = 0;
  private readonly others: string[] = [];

  constructor(stream: Job['stream'], sink: (sample: Sample) => void) {
    this.intake = new TableIntake(stream, sink);
  }

  push(bytes: Uint8Array, _arrivalMs: number): void {
    this.intake.bytes += bytes.length;
    if (this.intake.refusal !== null) return;
    this.text.push(bytes);
    this.check();
  }

  end(): void {
    if (this.intake.refusal === null) {
      this.text.end();
      this.xml.end();
      this.check();
      if (!this.intake.begun)
        this.intake.refuse(`found ${this.logs} logs and none by time that has rows, expected one`);
    }
    if (this.others.length > 0) this.intake.note(this.othersNote());
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

  private check(): void {
    if (this.xml.refusal !== null) this.intake.refuse(this.xml.refusal);
  }

  private othersNote(): string {
    const names = this.others.slice(0, NAMED_LOGS).join(', ');
    return `${this.logs} logs in the file, the first by time is read; not read: ${names}${this.others.length > NAMED_LOGS ? ' …' : ''}`;
  }

  private open(tag: SaxesTagNS): void {
    if (!this.rooted) {
      this.root(tag);
      return;
    }
    this.path.push(tag.uri === NAMESPACE ? tag.local : '');
    this.below = this.path.join('/');
    this.content = '';
    this.wanted =
      this.below === ROW || Object.hasOwn(HEADER_TEXTS, this.below) || Object.hasOwn(CURVE_TEXTS, this.below);
    if (this.below === 'log') this.beginLog();
    if (this.below === 'log/logCurveInfo') this.beginCurve();
    if (this.below === 'log/logData') {
      this.header.mnemonics = '';
      this.header.units = '';
      if (this.choice === 'read') this.choice = 'open';
    }
  }

  /** W1. */
  private root(tag: SaxesTagNS): void {
    this.rooted = true;
    const version = tag.attributes.version?.value ?? '';
    if (tag.local !== 'logs' || tag.uri !== NAMESPACE) {
      this.xml.refuse(`the root ${shownText(tag.local)} of ${shownText(tag.uri)}`, `logs of "${NAMESPACE}"`);
    } else if (!VERSION.test(version)) {
      this.xml.refuse(`version ${shownText(version)}`, '1.4.1.1');
    }
  }

  private beginLog(): void {
    this.logs++;
    this.header = createLogHeader();
    this.choice = 'open';
  }

  private beginCurve(): void {
    const { curves } = this.header;
    if (curves.length < LOG_LIMITS.curves) curves.push({ mnemonic: '', unit: '', nullValue: '' });
    else this.xml.refuse(`more than ${LOG_LIMITS.curves} curves`, 'fewer');
  }

  private keep(text: string): void {
    if (!this.wanted) return;
    this.content = this.content === '' ? text : this.content + text;
    if (this.content.length > XML_LIMITS.characters)
      this.xml.refuse(`text of more than ${XML_LIMITS.characters} characters`, 'less');
  }

  private close(): void {
    const { below, content } = this;
    if (this.path.length === 0) return;
    if (this.wanted && below === ROW) this.row(content);
    else if (this.wanted) this.take(below, content);
    if (below === 'log') this.endLog();
    this.path.pop();
    this.below = this.path.join('/');
    this.wanted = false;
    this.content = '';
  }

  private take(below: string, content: string): void {
    if (Object.hasOwn(HEADER_TEXTS, below)) this.header[HEADER_TEXTS[below]!] = cellText(content);
    else this.header.curves.at(-1)![CURVE_TEXTS[below]!] = cellText(content);
  }

  private endLog(): void {
    if (this.chosen !== this.header) this.passedOver();
    this.choice = 'open';
  }

  private passedOver(): void {
    if (this.others.length <= NAMED_LOGS) this.others.push(shownText(this.header.name));
    else this.others.length = NAMED_LOGS + 1;
  }

  private row(text: string): void {
    const { intake } = this;
    if (this.choice === 'open') this.choose();
    if (intake.refusal !== null || this.xml.refusal !== null) return;
    if (this.choice === 'passed over') {
      intake.refused['row of another log']++;
      return;
    }
    const cells = csvCells(text.trim(), this.delimiter, this.width + 2);
    if (cells === null) intake.lostRow('unclosed quote');
    else intake.row(cells);
  }

  /** W2: decided with the first row of a log, or of a further block of its rows. */
  private choose(): void {
    const { header, intake } = this;
    this.choice = 'passed over';
    if (intake.begun) {
      // A further block of the same log goes on with the same columns, else it is another table.
      if (header === this.chosen && header.mnemonics === this.mnemonicsRead) this.choice = 'read';
      return;
    }
    if (!isTimeIndex(header.indexType)) return;
    if (header.delimiter !== ',' && header.delimiter !== ';' && header.delimiter !== '\t') {
      this.xml.refuse(`dataDelimiter ${shownText(header.delimiter)}`, 'a comma, a semicolon or a tab');
      return;
    }
    const made = logTable(header);
    if (made.kind === 'refused') {
      this.intake.refuse(`log ${shownText(header.name)}: ${made.line}`);
      return;
    }
    this.choice = 'read';
    this.chosen = header;
    this.mnemonicsRead = header.mnemonics;
    this.delimiter = header.delimiter;
    this.width = made.table.columns.length;
    intake.begin({ ...made.table, columns: numberedColumns(made.table.columns) });
  }
}

/**
 * @param stream how the plan reads the source: units, channel map, nulls, zone, staleness.
 * @throws Fault 'bad channel map' where a unit does not fit its channel.
 */
export function createWitsmlReader(stream: Job['stream'], sink: (sample: Sample) => void): TableReader {
  return new WitsmlReader(stream, sink);
}
