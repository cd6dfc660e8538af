/** How an address begins that puts two beside each other: which, and how, follows. */
export const BESIDE_HASH = '#beside?';
