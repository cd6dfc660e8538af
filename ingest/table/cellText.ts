/** The text of a cell from its bytes, one a character: UTF-8 where it is that, else Latin-1. */

const BEYOND_ASCII = /[\u0080-\uffff]/;
const WIDE = /[\u0100-\uffff]/;
/** What a decoder puts in the place of bytes that are no UTF-8. */
const REPLACED = '\uFFFD';

export function cellText(bytes: string): string {
  // A character reference of XML may stand for any character; then the text is no longer one of bytes.
  if (!BEYOND_ASCII.test(bytes) || WIDE.test(bytes)) return bytes;
  const text = Buffer.from(bytes, 'latin1').toString('utf8');
  return text.includes(REPLACED) ? bytes : text;
}

/** Of a text from outside that is shown to a person: bounded, on one line. */
const SHOWN_CHARACTERS = 60;

/** For "found …" in a line: quoted, bounded, without control characters. */
export function shownText(bytes: string): string {
  const text = cellText(bytes.length > SHOWN_CHARACTERS ? bytes.slice(0, SHOWN_CHARACTERS) : bytes);
  return `"${text.replace(/\p{Cc}/gu, ' ')}${bytes.length > SHOWN_CHARACTERS ? '…' : ''}"`;
}
