/**
 * A sheet as it is drawn, whoever shows it: marks in points (1/72 in) from the upper left corner. What is seen on the page
 * (SVG) and what is printed (PDF) is the same sheet.
 */

/** What a mark is for; a writer gives it its colour. Nothing is told by the tone alone. */
export const TONES = ['ink', 'soft', 'faint', 'paper', 'tint', 'done', 'good', 'bad', 'doubt', 'link'] as const;
export type Tone = (typeof TONES)[number];

/** Colours for black on white. `ink` to `link` as text have at least 7:1 on white, but for `faint`, which is never text. */
export const PRINT_COLOURS: Readonly<Record<Tone, string>> = {
  ink: '#000000',
  soft: '#484848',
  faint: '#b4b4b4',
  paper: '#ffffff',
  tint: '#ececec',
  done: '#b7c4ba',
  good: '#0b5a23',
  bad: '#8c1515',
  doubt: '#6b4300',
  link: '#123c7c',
};

/** Fillings that are told apart in black and white. */
export const PATTERNS = ['solid', 'hatch', 'back hatch', 'cross', 'level'] as const;
export type Pattern = (typeof PATTERNS)[number];

export interface TextMark {
  readonly kind: 'text';
  readonly x: number;
  /** Of the base line. */
  readonly y: number;
  readonly text: string;
  readonly size: number;
  readonly bold: boolean;
  readonly tone: Tone;
  readonly anchor: 'start' | 'middle' | 'end';
  /** As measured: a writer with another font makes it fit. */
  readonly width: number;
  /** Reads upwards. */
  readonly turned: boolean;
  readonly href?: string | undefined;
}

export interface LineMark {
  readonly kind: 'line';
  /** Each run x, y, x, y …; between two runs the pen is lifted. */
  readonly runs: readonly (readonly number[])[];
  readonly tone: Tone;
  readonly width: number;
  /** Empty: unbroken. */
  readonly dash: readonly number[];
}

export interface BoxMark {
  readonly kind: 'box';
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  readonly fill: { readonly pattern: Pattern; readonly tone: Tone } | null;
  readonly edge: { readonly tone: Tone; readonly width: number } | null;
}

export type Mark = TextMark | LineMark | BoxMark;

export interface Sheet {
  /** Unique in its document; `#sheet=KEY` leads to it. */
  readonly key: string;
  /** The part of the document that it belongs to. */
  readonly part: string;
  readonly title: string;
  readonly width: number;
  readonly height: number;
  readonly marks: readonly Mark[];
}

/** A link to another sheet of the document. Everything else that begins with # is a place of the live screen. */
export const SHEET_LINK = '#sheet=';
export const sheetLink = (key: string): string => `${SHEET_LINK}${encodeURIComponent(key)}`;
