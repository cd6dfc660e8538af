import { expect, test } from 'vitest';
import { fittedName } from '../../web/liner/fittedName.ts';

test.each([
  // name | type px | room px | text | squeezed to
  ['S2', 24, 51, 'S2', undefined],
  ['Z12', 24, 51, 'Z12', undefined],
  ['Z1-01', 24, 51, 'Z1-01', 51],
  ['SCREEN-14', 24, 51, 'S…-14', 51],
  ['SCREEN-14', 18, 140, 'SCREEN-14', undefined],
  ['Z1-01', 13, 27, 'Z1-01', 27],
  ['anything', 24, 0, 'a…g', 0],
] as const)('%s in type of %i px and %i px of room: %s', (name, px, room, text, textLength) => {
  expect(fittedName(name, px, room)).toEqual({ text, textLength });
});
