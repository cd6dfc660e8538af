/** What each item code is to the reader, as an array by code: looked up once an item. */
import type { ChannelMap } from './channelMap.ts';
import { WITS_ITEMS } from './items.ts';

/** A slot (an index into the map's items) where the role is 0 or more, else one of these. */
export const UNMAPPED = -1;
export const IGNORED = -2;
export const DATE = -3;
export const TIME = -4;

/** Items 01 to 04 of every record (well, sidetrack, record, sequence) and its activity code say nothing to us. */
const HOUSEKEEPING = 4;

export function itemRoles({ items, ignored }: ChannelMap): Int16Array {
  const roles = new Int16Array(10_000).fill(UNMAPPED);
  for (const item of WITS_ITEMS) {
    if (item.item <= HOUSEKEEPING || item.long === 'ACTCOD') roles[item.code] = IGNORED;
    else if (item.item === 5 && item.long === 'DATE') roles[item.code] = DATE;
    else if (item.item === 6 && item.long === 'TIME') roles[item.code] = TIME;
  }
  for (const code of ignored) roles[code] = IGNORED;
  items.forEach((item, slot) => {
    roles[item.code] = slot;
  });
  return roles;
}
