/** How an address begins that asks "what if": the scenario follows. */
export const WHAT_IF_HASH = '#what-if?';

/** What stands behind it, also where the address names a recorded run first; null: the address asks nothing. */
export function whatIfIn(hash: string): string | null {
  const at = hash.indexOf(WHAT_IF_HASH.slice(1));
  return at === 1 || hash[at - 1] === '&' ? hash.slice(at + WHAT_IF_HASH.length - 1) : null;
}
