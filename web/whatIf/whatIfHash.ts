/** How an address begins that asks "what if": the scenario follows. */
export const WHAT_IF_HASH = '#what-if?';
