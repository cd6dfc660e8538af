/**
 * What a PDF says, page by page, read from its bytes by the parts of ISO 32000-1 that our own files use: objects, FlateDecode,
 * the page tree, ToUnicode maps (9.10.3), Tf, Tm and TJ. Where `pdftotext` is installed, tests ask it too.
 */
import { spawnSync } from 'node:child_process';
import { inflateSync } from 'node:zlib';

export interface PdfPage {
  /** In the order in which they were drawn. */
  readonly texts: readonly string[];
  /** Addresses and names of places that lie under a text. */
  readonly links: readonly string[];
}

export interface ReadPdf {
  readonly pages: readonly PdfPage[];
  /** The document's own words of itself. */
  readonly info: Readonly<Record<string, string>>;
}

interface PdfObject {
  readonly dictionary: string;
  readonly stream: Buffer | null;
}

function objectsOf(bytes: Buffer): Map<number, PdfObject> {
  const file = bytes.toString('latin1');
  const objects = new Map<number, PdfObject>();
  const head = /(?:^|\n)(\d+) 0 obj\n/g;
  for (let found = head.exec(file); found; found = head.exec(file)) {
    const start = found.index + found[0].length;
    const end = file.indexOf('\nendobj', start);
    const at = file.indexOf('\nstream\n', start);
    const isStream = at >= 0 && at < end;
    const dictionary = file.slice(start, isStream ? at : end);
    const length = Number(/\/Length (\d+)/.exec(dictionary)?.[1]);
    const from = at + '\nstream\n'.length;
    objects.set(Number(found[1]), { dictionary, stream: isStream ? bytes.subarray(from, from + length) : null });
    head.lastIndex = isStream ? from + length : end;
  }
  return objects;
}

const contentOf = ({ dictionary, stream }: PdfObject): string => {
  if (!stream) return '';
  return (dictionary.includes('/FlateDecode') ? inflateSync(stream) : stream).toString('latin1');
};

const utf16 = (hex: string): string => Buffer.from(hex, 'hex').swap16().toString('utf16le');

/** Glyph → text, of ranges `<from> <to> [<text> …]`. */
function toUnicode(map: string): Map<number, string> {
  const known = new Map<number, string>();
  for (const [, from, , list] of map.matchAll(/<([0-9a-f]{4})> <([0-9a-f]{4})> \[([^\]]*)\]/gi)) {
    let glyph = Number.parseInt(from!, 16);
    for (const [, hex] of list!.matchAll(/<([0-9a-f\s]*)>/gi)) {
      known.set(glyph, utf16(hex!.replace(/\s/g, '')));
      glyph += 1;
    }
  }
  return known;
}

function fontsOf(objects: Map<number, PdfObject>): Map<string, Map<number, string>> {
  const fonts = new Map<string, Map<number, string>>();
  for (const { dictionary } of objects.values()) {
    for (const [, name, ref] of dictionary.matchAll(/\/(F\d+) (\d+) 0 R/g)) {
      const font = objects.get(Number(ref))!;
      const unicode = Number(/\/ToUnicode (\d+) 0 R/.exec(font.dictionary)?.[1]);
      if (objects.has(unicode)) fonts.set(name!, toUnicode(contentOf(objects.get(unicode)!)));
    }
  }
  return fonts;
}

function textsOf(content: string, fonts: Map<string, Map<number, string>>): string[] {
  const texts: string[] = [];
  let font = new Map<number, string>();
  let text = '';
  for (const [, name, shown, end] of content.matchAll(/\/(F\d+) [\d.]+ Tf|\[([^\]]*)\] TJ|(\bET\b)/g)) {
    if (name !== undefined) font = fonts.get(name) ?? font;
    else if (shown !== undefined) {
      for (const [, hex] of shown.matchAll(/<([0-9a-f]*)>/gi)) {
        for (const [glyph] of hex!.matchAll(/.{4}/g)) text += font.get(Number.parseInt(glyph, 16)) ?? '\ufffd';
      }
    } else if (end !== undefined) {
      if (text !== '') texts.push(text);
      text = '';
    }
  }
  return texts;
}

const literal = (text: string): string => text.replace(/\\([()\\])/g, '$1');

function pageOf(objects: Map<number, PdfObject>, dictionary: string, fonts: Map<string, Map<number, string>>): PdfPage {
  const content = objects.get(Number(/\/Contents (\d+) 0 R/.exec(dictionary)![1]))!;
  const annotations = [...(/\/Annots \[([^\]]*)\]/.exec(dictionary)?.[1] ?? '').matchAll(/(\d+) 0 R/g)];
  const links = annotations.flatMap(([, ref]) => {
    const own = objects.get(Number(ref))!.dictionary;
    const action = objects.get(Number(/\/A (\d+) 0 R/.exec(own)?.[1]))?.dictionary ?? own;
    const said = /\/(?:URI|D) \(((?:[^()\\]|\\.)*)\)/.exec(action)?.[1];
    return said === undefined ? [] : [literal(said)];
  });
  return { texts: textsOf(contentOf(content), fonts), links };
}

export function readPdf(given: Uint8Array): ReadPdf {
  const objects = objectsOf(Buffer.from(given));
  const fonts = fontsOf(objects);
  const tree = [...objects.values()].find(({ dictionary }) => /\/Type \/Pages\b/.test(dictionary))!;
  const kids = [.../\/Kids \[([^\]]*)\]/.exec(tree.dictionary)![1]!.matchAll(/(\d+) 0 R/g)];
  const pages = kids.map(([, ref]) => pageOf(objects, objects.get(Number(ref))!.dictionary, fonts));
  const own = [...objects.values()].find(({ dictionary }) => dictionary.includes('/CreationDate'))!.dictionary;
  const info = Object.fromEntries(
    [...own.matchAll(/\/(\w+) (\d+) 0 R/g)].map(([, name, ref]) => {
      const said = /^\(((?:[^()\\]|\\.)*)\)/.exec(objects.get(Number(ref))!.dictionary.trim());
      return [name!, literal(said?.[1] ?? '')];
    }),
  );
  return { pages, info };
}

/** What `pdftotext` reads; null where it is not installed. */
export function pdftotext(file: string): string | null {
  const { status, stdout, error } = spawnSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' });
  if (error) return null;
  if (status !== 0) throw new Error(`pdftotext ended with ${status}`);
  return stdout;
}
