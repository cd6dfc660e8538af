/** Apart from the schemas, so that what only writes words need not load what judges them. */
import type { MeasuredText } from './measuredText.ts';
import { converter, type UnitSystem } from './units.ts';

/** The words with every measure in the units of one system. */
export function inUnits(text: MeasuredText, system: UnitSystem): string {
  if (typeof text === 'string') return text;
  const units = converter(system);
  return text
    .map((part) => {
      if (typeof part === 'string') return part;
      const label = units.label(part.quantity);
      // A small negative value is printed as 0, not as -0.
      const value = units
        .out(part.quantity, part.value)
        .toFixed(part.decimals)
        .replace(/^-(0(\.0+)?)$/, '$1');
      return label ? `${value} ${label}` : value;
    })
    .join('');
}
