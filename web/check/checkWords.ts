/** Numbers of the check in the viewer's units: the check itself bears those of the plan. */
import type { Check, Finding, Severity } from '../../src/check/checkSchema.ts';
import { converter, type Quantity, type UnitSystem } from '../../src/units.ts';
import { decimal, figure, UNKNOWN, unitLabel } from '../figures.ts';
import type { MarkName } from '../Mark.tsx';

export interface Written {
  readonly system: UnitSystem;
  /** A number of the check as text, without its unit. */
  of(quantity: Quantity, value: number | null, decimals?: number): string;
  label(quantity: Quantity): string;
  with(quantity: Quantity, value: number | null, decimals?: number): string;
  /** From the plan's units to inside units. */
  inside(quantity: Quantity, value: number): number;
}

export function writtenIn(check: Pick<Check, 'units'>, system: UnitSystem): Written {
  const plan = converter(check.units);
  const of = (quantity: Quantity, value: number | null, decimals?: number): string =>
    value === null ? UNKNOWN : figure(quantity, plan.in(quantity, value), system, decimals);
  const label = (quantity: Quantity): string => unitLabel(quantity, system);
  return {
    system,
    of,
    label,
    with: (quantity, value, decimals) => `${of(quantity, value, decimals)} ${label(quantity)}`.trim(),
    inside: (quantity, value) => plan.in(quantity, value),
  };
}

/** A share of 0 to 1, in whole per cent; what is there is never rounded away. */
export function shareInWords(share: number | null): string {
  if (share === null) return UNKNOWN;
  if (share > 0 && share < 0.005) return '<1';
  if (share < 1 && share > 0.995) return '>99';
  return decimal(share * 100, 0);
}

export const SEVERITY_SIGNS: Readonly<Record<Severity, MarkName>> = { stop: 'high', warn: 'medium', note: 'low' };
export const SEVERITY_SAYINGS: Readonly<Record<Severity, string>> = { stop: 'Stop', warn: 'Warn', note: 'Note' };

/** Findings but those that only repeat what stands in a list of its own: the defaults, and the caution. */
export function findingsToShow({ findings, defaults, caution }: Check): Finding[] {
  const repeats = ({ severity, text }: Finding): boolean =>
    severity === 'note' && (text === caution || defaults.some(({ place }) => text.includes(`: ${place} `)));
  return findings.filter((finding) => !repeats(finding));
}
