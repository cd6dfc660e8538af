/**
 * Sheets as one PDF: real text in fonts that are embedded, real vectors, a bookmark for each part. Equal sheets make equal
 * bytes: the date in it is the one that is given, never the clock's.
 */
import { HATCH_WIDTH, hatchLines } from '../../src/sheet/hatchLines.ts';
import {
  type BoxMark,
  type LineMark,
  type Mark,
  PRINT_COLOURS,
  SHEET_LINK,
  type Sheet,
  type TextMark,
} from '../../src/sheet/sheet.ts';
import { fontFiles, loadPdfkit } from './sheetFonts.ts';

type Document = InstanceType<Awaited<ReturnType<typeof loadPdfkit>>>;

export interface PdfOptions {
  readonly title: string;
  /** What the document says that it was made at, ms since 1970 UTC. */
  readonly dateMs: number;
  /** Where the live screen is, that links like `#at=…` belong to; left out: those are no links. */
  readonly linkBase?: string | undefined;
  /** Told after each sheet. */
  readonly drawn?: (sheets: number) => void;
}

/** @returns the whole file */
export async function pdfSheets(sheets: readonly Sheet[], options: PdfOptions): Promise<Uint8Array> {
  const Pdf = await loadPdfkit();
  const { title, dateMs, linkBase, drawn } = options;
  const fonts = fontFiles();
  const document: Document = new Pdf({
    autoFirstPage: false,
    margin: 0,
    font: fonts.plain,
    lang: 'en',
    displayTitle: true,
    pdfVersion: '1.7',
    info: { Title: title, Producer: 'jointwise', Creator: 'jointwise', CreationDate: new Date(dateMs) },
  });
  const chunks: Uint8Array[] = [];
  document.on('data', (chunk: Uint8Array) => chunks.push(chunk));
  const ended = new Promise<void>((resolve, reject) => document.on('end', resolve).on('error', reject));
  const keys = new Set(sheets.map(({ key }) => key));
  for (const [i, sheet] of sheets.entries()) {
    drawSheet(document, sheet, { fonts, keys, linkBase });
    if (sheets[i - 1]?.part !== sheet.part) document.outline.addItem(sheet.part);
    drawn?.(i + 1);
    // Whoever else runs here has its turn.
    await new Promise((resolve) => setImmediate(resolve));
  }
  document.end();
  await ended;
  return Buffer.concat(chunks);
}

interface Ways {
  readonly fonts: ReturnType<typeof fontFiles>;
  /** Sheets that can be led to. */
  readonly keys: ReadonlySet<string>;
  readonly linkBase: string | undefined;
}

function drawSheet(document: Document, { key, width, height, marks }: Sheet, ways: Ways): void {
  document.addPage({ size: [width, height], margin: 0 });
  document.addNamedDestination(key);
  for (const mark of marks) drawMark(document, mark, ways);
}

function drawMark(document: Document, mark: Mark, ways: Ways): void {
  if (mark.kind === 'text') drawText(document, mark, ways);
  else if (mark.kind === 'line') drawLine(document, mark);
  else drawBox(document, mark);
}

const START = { start: 0, middle: 0.5, end: 1 } as const;

function drawText(document: Document, mark: TextMark, ways: Ways): void {
  const { x, y, text, size, bold, tone, anchor, width, turned } = mark;
  if (text === '') return;
  document
    .font(bold ? ways.fonts.bold : ways.fonts.plain)
    .fontSize(size)
    .fillColor(PRINT_COLOURS[tone]);
  const back = width * START[anchor];
  const said = { lineBreak: false, baseline: 'alphabetic' } as const;
  if (!turned) {
    document.text(text, x - back, y, said);
    link(document, mark, x - back, ways);
    return;
  }
  document.save().rotate(-90, { origin: [x, y] });
  document.text(text, x - back, y, said);
  document.restore();
}

/** Room around a text that is clicked at, points. */
const AROUND = 1.5;

function link(document: Document, { y, size, width, href }: TextMark, x: number, { keys, linkBase }: Ways): void {
  if (href === undefined) return;
  const place = [x - AROUND, y - size - AROUND + 1, width + 2 * AROUND, size + 2 * AROUND + 1] as const;
  if (href.startsWith(SHEET_LINK)) {
    const key = decodeURIComponent(href.slice(SHEET_LINK.length));
    if (keys.has(key)) document.goTo(...place, key);
  } else if (linkBase !== undefined && href.startsWith('#')) document.link(...place, linkOn(linkBase, href));
}

/** A page that shows one of several runs has that in its address already. */
const linkOn = (base: string, href: string): string => (base.includes('#') ? `${base}&${href.slice(1)}` : base + href);

function trace(document: Document, runs: LineMark['runs']): void {
  for (const run of runs) {
    document.moveTo(run[0]!, run[1]!);
    for (let i = 2; i + 1 < run.length; i += 2) document.lineTo(run[i]!, run[i + 1]!);
  }
}

function drawLine(document: Document, { runs, tone, width, dash }: LineMark): void {
  if (runs.length === 0) return;
  document.lineWidth(width).strokeColor(PRINT_COLOURS[tone]).lineJoin('round');
  if (dash.length > 0) document.dash(dash[0]!, { space: dash[1] ?? dash[0]! });
  trace(document, runs);
  document.stroke();
  if (dash.length > 0) document.undash();
}

function drawBox(document: Document, mark: BoxMark): void {
  const { x, y, width, height, fill, edge } = mark;
  if (fill?.pattern === 'solid') document.rect(x, y, width, height).fill(PRINT_COLOURS[fill.tone]);
  else if (fill) {
    const runs = hatchLines(mark, fill.pattern);
    drawLine(document, { kind: 'line', runs, tone: fill.tone, width: HATCH_WIDTH, dash: [] });
  }
  if (!edge) return;
  document.lineWidth(edge.width).strokeColor(PRINT_COLOURS[edge.tone]).rect(x, y, width, height).stroke();
}
