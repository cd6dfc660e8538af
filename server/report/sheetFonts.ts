/** The fonts of printed sheets, whose files lie in a package, and how wide a text is in them. */
import { createRequire } from 'node:module';
import type PDFDocument from 'pdfkit';
import { A4 } from '../../src/sheet/paper.ts';
import type { Pen } from '../../src/sheet/pen.ts';

/** Narrow, so that a table of many columns needs no small print. The same family is named in the SVG of a sheet. */
const FILES = { plain: 'DejaVuSansCondensed.ttf', bold: 'DejaVuSansCondensed-Bold.ttf' } as const;
export type FontName = keyof typeof FILES;
const require = createRequire(import.meta.url);
/**
 * A document is told its fonts by their files: of a font that is registered under a name beside, pdfkit would read the file
 * again each time it is chosen.
 */
export function fontFiles(): Readonly<Record<FontName, string>> {
  const file = (name: FontName): string => require.resolve(`dejavu-fonts-ttf/ttf/${FILES[name]}`);
  return { plain: file('plain'), bold: file('bold') };
}

/** Loaded when the first sheet is drawn: most verbs and most services never draw one. */
export async function loadPdfkit(): Promise<typeof PDFDocument> {
  return (await import('pdfkit')).default;
}

/** Widths that are kept; a report of hundreds of sheets has some thousand different texts. */
const MOST_WIDTHS = 50_000;
const UNIT_SIZE = 1000;

let pen: Promise<Pen> | undefined;

/** One for the whole process: its fonts are read once. */
export function sheetPen(): Promise<Pen> {
  pen ??= makePen();
  return pen;
}

async function makePen(): Promise<Pen> {
  const Pdf = await loadPdfkit();
  // Never ended and never read: only its fonts are asked.
  const fonts = fontFiles();
  const document = new Pdf({ autoFirstPage: false, font: fonts.plain });
  const widths = new Map<string, number>();
  const measure: Pen['measure'] = (text, size, bold) => {
    const key = `${bold ? 'b' : 'p'}${text}`;
    let width = widths.get(key);
    if (width === undefined) {
      width = document
        .font(bold ? fonts.bold : fonts.plain)
        .fontSize(UNIT_SIZE)
        .widthOfString(text);
      if (widths.size >= MOST_WIDTHS) widths.clear();
      widths.set(key, width);
    }
    return (width * size) / UNIT_SIZE;
  };
  return { measure, paper: A4 };
}
