/** Rows of RFC 4180: cells with commas between them, CR LF at the end, quotes where a cell needs them. */
import { inertText } from './inertText.ts';

/** Besides what the RFC names also semicolons and tabs, which some programs take for separators, and blanks at the ends. */
const NEEDS_QUOTES = /[",;\r\n\t]|^\s|\s$/;

const quoted = (text: string): string => (NEEDS_QUOTES.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

/** A cell of text: inert, and quoted where it needs to be. */
export const textCell = (text: string): string => quoted(inertText(text));

/** `cells` as they are to stand there: numbers, instants, or from `textCell`. */
export const csvRow = (cells: readonly string[]): string => `${cells.join(',')}\r\n`;
