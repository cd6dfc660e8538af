/**
 * The in-slips status as text. The standard gives the item two characters and no coding; these are common practice.
 */
const IN_SLIPS = new Set(['1', 'Y', 'YES', 'T', 'TRUE', 'I', 'IN']);
const OUT_OF_SLIPS = new Set(['0', 'N', 'NO', 'F', 'FALSE', 'O', 'OUT']);

/** 1 in slips, 0 out of slips, NaN where the text says neither. Any number but 0 is in slips. */
export function slipsFlag(text: string): number {
  const word = text.trim().toUpperCase();
  if (IN_SLIPS.has(word)) return 1;
  if (OUT_OF_SLIPS.has(word)) return 0;
  const number = word === '' ? Number.NaN : Number(word);
  return Number.isNaN(number) ? number : number === 0 ? 0 : 1;
}
