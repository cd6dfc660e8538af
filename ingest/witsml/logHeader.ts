/** What a WITSML log says of itself before its rows, and the table that this makes. Element names: WITSML 1.4.1.1, `obj_log`. */
import { shownText } from '../table/cellText.ts';
import type { TableColumn } from '../table/columnMap.ts';
import type { Table } from '../table/tableIntake.ts';

export const LOG_LIMITS = { curves: 4096 } as const;

export interface LogCurve {
  mnemonic: string;
  unit: string;
  nullValue: string;
}

export interface LogHeader {
  name: string;
  indexType: string;
  indexCurve: string;
  nullValue: string;
  delimiter: string;
  readonly curves: LogCurve[];
  mnemonics: string;
  units: string;
}

export function createLogHeader(): LogHeader {
  return {
    name: '',
    indexType: '',
    indexCurve: '',
    nullValue: '',
    delimiter: ',',
    curves: [],
    mnemonics: '',
    units: '',
  };
}

/** Text of an index type in any case and with any blanks, as servers differ in both. */
export const isTimeIndex = (indexType: string): boolean => /^(?:date[ _]?time)$/i.test(indexType.trim());

export type LogTable =
  | { readonly kind: 'table'; readonly table: Table }
  | { readonly kind: 'refused'; readonly line: string };

const refused = (line: string): LogTable => ({ kind: 'refused', line });

const NUMBER = /^[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?$/;
const nullsOf = (...texts: readonly string[]): number[] =>
  texts.filter((text) => NUMBER.test(text.trim())).map((text) => Number(text));

/** The list of mnemonics with its units; the null of a curve wins over that of the log. */
export function logTable(header: LogHeader): LogTable {
  const { curves, delimiter } = header;
  const split = (list: string): string[] => list.split(delimiter, LOG_LIMITS.curves + 1).map((text) => text.trim());
  const mnemonics = header.mnemonics.trim() === '' ? [] : split(header.mnemonics);
  if (mnemonics.length < 2) return refused(`found ${mnemonics.length} names in mnemonicList, expected two or more`);
  if (mnemonics.length > LOG_LIMITS.curves) {
    return refused(`found more than ${LOG_LIMITS.curves} names in mnemonicList, expected fewer`);
  }
  const units = header.units.trim() === '' ? null : split(header.units);
  if (units !== null && units.length !== mnemonics.length) {
    return refused(
      `found ${units.length} units for ${mnemonics.length} names, expected one each (unitList, mnemonicList)`,
    );
  }
  const byName = new Map(curves.map((curve) => [curve.mnemonic.trim(), curve]));
  const columns = mnemonics.map((name, i): TableColumn => {
    const curve = byName.get(name);
    const nulls = nullsOf(curve?.nullValue || header.nullValue);
    return { name, unit: units?.[i] ?? curve?.unit.trim() ?? '', nulls };
  });
  const index = mnemonics.indexOf(header.indexCurve.trim());
  if (index < 0) {
    return refused(`found no ${shownText(header.indexCurve.trim())} (indexCurve) in mnemonicList, expected it there`);
  }
  return { kind: 'table', table: { columns, time: { kind: 'instant', index }, commas: delimiter !== ',' } };
}
