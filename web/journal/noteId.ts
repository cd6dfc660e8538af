const BYTES = 10;

/** By chance, so that two people who write at the same time never take the same one. */
export const newNoteId = (): string =>
  [...crypto.getRandomValues(new Uint8Array(BYTES))].map((byte) => byte.toString(16).padStart(2, '0')).join('');
