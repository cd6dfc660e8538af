/** A joint's name where there is little room beside the liner: squeezed so far as it can be read, then shortened. */

/** Width of a letter, of the size of the type: our names are mostly figures and capitals. */
const LETTER = 0.66;
/** Letters squeezed further than this are hard to read. */
const NARROWEST = 0.6;

export interface FittedName {
  readonly text: string;
  /** Width to be squeezed to, px; undefined where the name stands as it is. */
  readonly textLength: number | undefined;
}

/** @param px size of the type @param roomPx width that there is */
export function fittedName(name: string, px: number, roomPx: number): FittedName {
  const lettersIn = (share: number): number => Math.floor(roomPx / (px * LETTER * share));
  if (name.length <= lettersIn(1)) return { text: name, textLength: undefined };
  const most = Math.max(3, lettersIn(NARROWEST));
  // Names of one kind begin alike: what tells them apart is their end.
  const text = name.length <= most ? name : `${name[0]}…${name.slice(2 - most)}`;
  return { text, textLength: roomPx };
}
