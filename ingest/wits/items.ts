/** The published items of WITS level 0 by code: what an item is called, its type, its unit in either system. */
import type { UnitSystem } from '../../src/units.ts';
import { ITEM_ROWS } from './itemTable.ts';

export type ItemType = 'A' | 'S' | 'L' | 'F';

export interface WitsItem {
  /** Record and item as one number: 0108 is 108. */
  readonly code: number;
  readonly record: number;
  readonly item: number;
  readonly long: string;
  readonly short: string;
  readonly description: string;
  readonly type: ItemType;
  /** Length in the binary form (level 1), bytes. Says nothing of the width of the text. */
  readonly length: number;
  /** Unit symbol as the standard prints it; empty where the item has none. */
  readonly units: Readonly<Record<UnitSystem, string>>;
}

function parseRow(row: string): WitsItem {
  const [code, long, short, type, length, metric, field, description] = row.split('|') as [
    string,
    string,
    string,
    ItemType,
    string,
    string,
    string,
    string,
  ];
  const number = Number(code);
  return {
    code: number,
    record: Math.floor(number / 100),
    item: number % 100,
    long,
    short,
    description,
    type,
    length: Number(length),
    units: { metric, field },
  };
}

export const WITS_ITEMS: readonly WitsItem[] = ITEM_ROWS.trim().split('\n').map(parseRow);

const byCode = new Map(WITS_ITEMS.map((item) => [item.code, item]));

/** The published item of a code (108 for 0108); undefined for codes that the standard leaves to its users. */
export function witsItem(code: number): WitsItem | undefined {
  return byCode.get(code);
}

/** A code as it stands on the line: four digits. */
export function codeText(code: number): string {
  return String(code).padStart(4, '0');
}
