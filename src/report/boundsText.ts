/** Bounds as they are signed, a line each, gathered for people: those of one group in one text. */

export interface BoundsGroup {
  readonly group: string;
  readonly text: string;
}

/** `recipes.screen.pressure.max` belongs to `recipes screen`, all else to the first key. */
const keysOfGroup = ([first, ...rest]: readonly string[]): number => Math.min(first === 'recipes' ? 2 : 1, rest.length);

/** `setDown[1]` reads `set down 2`, the first of a list as if it were alone. */
const words = (key: string): string =>
  key
    .replace(/\[(\d+)\]/g, (_, index: string) => (index === '0' ? '' : ` ${Number(index) + 1}`))
    .replace(/([a-z])([A-Z])/g, (_, before: string, after: string) => `${before} ${after.toLowerCase()}`)
    .replaceAll('.', ' ');

/** Values as JSON has them, in the units of the plan. @param lines of `flatLines` */
export function boundsText(lines: readonly string[]): BoundsGroup[] {
  const groups = new Map<string, string[]>();
  for (const line of lines) {
    const at = line.indexOf(' = ');
    const keys = line.slice(0, at).split('.');
    const depth = keysOfGroup(keys);
    const group = depth === 0 ? '' : words(keys.slice(0, depth).join('.'));
    const said = `${words(keys.slice(depth).join('.'))} ${line.slice(at + 3).replace(/^"(.*)"$/, '$1')}`;
    groups.set(group, [...(groups.get(group) ?? []), said]);
  }
  return [...groups].map(([group, all]) => ({ group, text: all.join(', ') }));
}
