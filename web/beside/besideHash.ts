/** How an address begins that puts two beside each other: which, and how, follows. */
export const BESIDE_HASH = '#beside?';

/** What stands behind it, also where the address names a recorded run first; null: the address asks nothing. */
export function besideIn(hash: string): string | null {
  const at = hash.indexOf(BESIDE_HASH.slice(1));
  return at === 1 || hash[at - 1] === '&' ? hash.slice(at + BESIDE_HASH.length - 1) : null;
}
