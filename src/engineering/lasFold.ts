/**
 * LAS 2.0 (Canadian Well Logging Society, update of January 2014) line by line: what the header says, and rows as text cells
 * with their line, so that whoever reads a cell can name its place.
 *
 * Read generously where files in the field differ from the standard: tabs, blank lines and comments between rows, a blank
 * between mnemonic and dot (as in the standard's own example).
 */

export const LAS_LIMITS = { curves: 4096, headerLines: 8192, lineCharacters: 4096 } as const;

export interface LasCurve {
  readonly mnemonic: string;
  readonly unit: string;
}

export interface LasRow {
  /** Counted from 1; of a wrapped row the line of its index. */
  readonly line: number;
  readonly cells: readonly string[];
}

export interface LasHeaderLine {
  readonly mnemonic: string;
  readonly unit: string;
  readonly data: string;
}

export interface LasFold {
  /** Letter of the section that the last line stands in; '' before the first. */
  section: string;
  version: string;
  /** As written, '' where the file does not say. */
  nullValue: string;
  wrapped: boolean;
  readonly curves: LasCurve[];
  /** Lines of ~W and ~P. */
  readonly well: LasHeaderLine[];
  readonly parameters: LasHeaderLine[];
  /** The wrapped row that is being put together, and the cells of its longest line so far. */
  open: { readonly line: number; readonly cells: string[] } | null;
  openWidest: number;
  /** Lines of the sections, 0 where there is none. */
  versionLine: number;
  wellLine: number;
  curvesLine: number;
  dataLine: number;
  /** Header lines or curves beyond the limits. */
  beyond: number;
}

export function createLasFold(): LasFold {
  return {
    section: '',
    version: '',
    nullValue: '',
    wrapped: false,
    curves: [],
    well: [],
    parameters: [],
    open: null,
    openWidest: 0,
    versionLine: 0,
    wellLine: 0,
    curvesLine: 0,
    dataLine: 0,
    beyond: 0,
  };
}

/** `MNEM.UNIT  DATA : DESCRIPTION`: the first dot, the first blank after it, the last colon. Null where it is no such line. */
export function readHeaderLine(text: string): LasHeaderLine | null {
  const dot = text.indexOf('.');
  if (dot < 1) return null;
  const colon = text.lastIndexOf(':');
  const body = colon > dot ? text.slice(dot + 1, colon) : text.slice(dot + 1);
  const blank = body.search(/\s|$/);
  return {
    mnemonic: text.slice(0, dot).trim().toUpperCase(),
    unit: body.slice(0, blank),
    data: body.slice(blank).trim(),
  };
}

/** An empty line or a remark. `line` has no blanks around it. */
export const saysNothing = (line: string): boolean => line === '' || line.startsWith('#');

function takeHeader(fold: LasFold, text: string): void {
  const header = text.length > LAS_LIMITS.lineCharacters ? null : readHeaderLine(text);
  if (header === null) return;
  const { section } = fold;
  const { mnemonic, unit, data } = header;
  if (section === 'V' && mnemonic === 'VERS') fold.version = data;
  if (section === 'V' && mnemonic === 'WRAP') fold.wrapped = data.toUpperCase() === 'YES';
  if (section === 'W' && mnemonic === 'NULL') fold.nullValue = data;
  if (section === 'C') {
    if (fold.curves.length < LAS_LIMITS.curves) fold.curves.push({ mnemonic, unit });
    else fold.beyond += 1;
    return;
  }
  const kept = section === 'W' ? fold.well : section === 'P' ? fold.parameters : null;
  if (kept === null) return;
  if (kept.length < LAS_LIMITS.headerLines) kept.push(header);
  else fold.beyond += 1;
}

/**
 * A wrapped row begins with its index alone on a line and ends when every curve has its cell. A lone cell that does not
 * end the row, behind lines of several, is the index of the next: the row before it lost some, and is given as it is.
 */
function takeWrapped(fold: LasFold, cells: readonly string[], line: number, row: (row: LasRow) => void): void {
  const { open, curves } = fold;
  const next = open !== null && cells.length === 1 && fold.openWidest > 1 && open.cells.length + 1 < curves.length;
  if (next) row(open);
  if (open === null || next) {
    fold.open = { line, cells: [...cells] };
    fold.openWidest = 1;
  } else {
    for (const cell of cells) open.cells.push(cell);
    fold.openWidest = Math.max(fold.openWidest, cells.length);
  }
  if (fold.open!.cells.length < curves.length) return;
  row(fold.open!);
  fold.open = null;
}

function startSection(fold: LasFold, text: string, line: number): void {
  fold.section = text.charAt(1).toUpperCase();
  if (fold.section === 'V') fold.versionLine = line;
  if (fold.section === 'W') fold.wellLine = line;
  if (fold.section === 'C') fold.curvesLine = line;
  if (fold.section === 'A') fold.dataLine = line;
}

const BLANKS = /\s+/;

/**
 * @param text without blanks around it
 * @param line its number, from 1
 * @param row gets each row that this line ends
 */
export function takeLasLine(fold: LasFold, text: string, line: number, row: (row: LasRow) => void): void {
  if (saysNothing(text)) return;
  if (text.startsWith('~')) startSection(fold, text, line);
  else if (fold.section !== 'A') takeHeader(fold, text);
  else if (fold.wrapped) takeWrapped(fold, text.split(BLANKS), line, row);
  else row({ line, cells: text.split(BLANKS) });
}
