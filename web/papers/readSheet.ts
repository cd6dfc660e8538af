/** SVG text of the service made into elements of this page: those that sheets are drawn with, and nothing else. */

const SVG = 'http://www.w3.org/2000/svg';
const ELEMENTS: ReadonlySet<string> = new Set(['svg', 'title', 'text', 'a', 'path', 'rect']);
const MOST_CHARS = 8_000_000;

/** @throws Error with one line */
export function readSheet(text: string): SVGSVGElement {
  if (text.length > MOST_CHARS) throw new Error('the sheet is longer than a sheet is');
  const read = new DOMParser().parseFromString(text, 'image/svg+xml');
  const root = read.documentElement;
  if (root.namespaceURI !== SVG || root.localName !== 'svg' || read.querySelector('parsererror'))
    throw new Error('the answer is no sheet');
  for (const element of [root, ...root.querySelectorAll('*')]) {
    if (element.namespaceURI !== SVG || !ELEMENTS.has(element.localName)) throw new Error('the answer is no sheet');
    for (const { name, value } of [...element.attributes]) {
      if (name.startsWith('on') || (name === 'href' && !value.startsWith('#'))) element.removeAttribute(name);
    }
  }
  return document.importNode(root, true) as unknown as SVGSVGElement;
}
