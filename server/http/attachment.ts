/** The header that makes a download of an answer, RFC 6266: a plain name, and the real one for those who read it. */

const MOST_NAME = 80;

/** Letters, digits, dots, dashes: safe on every disk, and in a header without quotes that could end early. */
const plainName = (name: string): string =>
  name
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .replace(/[^A-Za-z0-9.-]+/g, '-')
    .replace(/^[.-]+/, '')
    .slice(0, MOST_NAME) || 'run';

/** RFC 5987: what `encodeURIComponent` leaves and the header may not have. */
const encoded = (name: string): string =>
  encodeURIComponent(name).replace(/['()*!]/g, (letter) => `%${letter.charCodeAt(0).toString(16).toUpperCase()}`);

/** Separators of folders, and what no disk may have in a name. */
const UNSAFE = /[\p{Cc}\p{Cs}/\\:*?"<>|]+/gu;

/** @param name of the run, whatever it is @param ends of the file, with its extension */
export function attachment(name: string, ends: string): string {
  const real = [...name.replace(UNSAFE, '-').replace(/^\.+/, '')].slice(0, MOST_NAME).join('') || 'run';
  return `attachment; filename="${plainName(name)}${ends}"; filename*=UTF-8''${encoded(`${real}${ends}`)}`;
}
