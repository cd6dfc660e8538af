/** The request that polling sends, put together from the lines that a user wrote. */
import { POLL_LIMITS } from '../poll.ts';
import { codeText, witsItem } from './items.ts';
import { VENDOR_CODE } from './pollEcho.ts';
import { codeAt } from './witsBytes.ts';

/** A request to send, or why there is none: what was found and what was expected, without the place. */
export type PollRequest =
  | { readonly kind: 'request'; readonly payload: string }
  | { readonly kind: 'refused'; readonly line: string };

const ITEM_LINE = /^[\x20-\x7e]{5,}$/;
const MARKS = /&&|!!/;

const refused = (found: string, expected: string): PollRequest => ({
  kind: 'refused',
  line: `found ${found}, expected ${expected}`,
});

/** Quoted as JSON, so that a control character shows, and no longer than a line of a terminal. */
const quoted = (text: string): string => JSON.stringify(text.length > 40 ? `${text.slice(0, 40)}…` : text);

/**
 * One packet of the given item lines; its marks `&&` and `!!` are put around them, whether or not they were written too.
 * Refused is whatever is no line of an item in printable ASCII, and whatever would come back from the line in a way that
 * cannot be told from a frame of the rig (`PollEcho`): a stamp, a code twice, nothing but the vendor's name.
 */
export function pollRequest(text: readonly string[]): PollRequest {
  const lines = text.flatMap((part) => part.split(/\r?\n/)).filter((line) => line !== '');
  if (lines[0] === '&&') lines.shift();
  if (lines.at(-1) === '!!') lines.pop();
  if (lines.length === 0) return refused('no item', 'a line such as 0111-9999');
  const seen = new Set<number>();
  for (const line of lines) {
    const code = codeAt(Buffer.from(line, 'latin1'), 0, line.length);
    if (code < 0 || !ITEM_LINE.test(line) || MARKS.test(line)) {
      return refused(quoted(line), 'a four-digit item code and its value in printable ASCII');
    }
    if (isStamp(code)) return refused(`${codeText(code)}, the stamp of a frame`, 'an item that is no date or time');
    if (seen.has(code)) return refused(`${codeText(code)} twice`, 'each item once');
    seen.add(code);
  }
  if (seen.size === 1 && seen.has(VENDOR_CODE)) return refused("only the vendor's name", 'an item besides it');
  const payload = `&&\r\n${lines.join('\r\n')}\r\n!!\r\n`;
  if (payload.length <= POLL_LIMITS.payloadBytes) return { kind: 'request', payload };
  return refused(`${payload.length} bytes with its marks`, `at most ${POLL_LIMITS.payloadBytes}`);
}

function isStamp(code: number): boolean {
  const item = witsItem(code);
  return (item?.item === 5 && item.long === 'DATE') || (item?.item === 6 && item.long === 'TIME');
}
