/** Where the built page lies: beside the built program, or in `dist` when run from the sources. */
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { Fault } from '../src/fault.ts';

/** @throws Fault `not built`. */
export function pageFolder(): string {
  const places = ['./web/', '../dist/web/'].map((place) => fileURLToPath(new URL(place, import.meta.url)));
  const folder = places.find((place) => existsSync(`${place}index.html`));
  if (folder === undefined) throw new Fault('not built', 'dist/web: found no built page, expected one (npm run build)');
  return folder;
}
