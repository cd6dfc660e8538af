/** Text in XML 1.0: the characters that have a meaning escaped, those that no document may hold replaced. */

const ESCAPES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&apos;',
};

/** All but what XML 1.0, 2.2 names a character: most control characters, halves of a pair, and two code points are none. */
const FORBIDDEN = /[^\t\n\r -\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/gu;

export const xmlText = (text: string): string =>
  text.replace(FORBIDDEN, '\ufffd').replace(/[&<>"']/g, (letter) => ESCAPES[letter]!);

/** `<name attribute="value">text</name>`. */
export function xmlElement(name: string, text: string, attributes: Readonly<Record<string, string>> = {}): string {
  const said = Object.entries(attributes).map(([key, value]) => ` ${key}="${xmlText(value)}"`);
  return `<${name}${said.join('')}>${xmlText(text)}</${name}>`;
}
