/**
 * The time of a LAS log. Its index is a number (LAS 2.0: times of day and dates are no index), so that the instant from
 * which it counts stands in the header, in ~P or ~W, under no mnemonic that the standard names; those read here are common
 * practice (from memory).
 */
import type { LasCurve, LasFold, LasHeaderLine } from '../../src/engineering/lasFold.ts';
import { shownText } from '../table/cellText.ts';
import { bareName } from '../table/columnNames.ts';
import { Instants, readDate, readEpoch } from '../table/instant.ts';
import { type TimeColumns, timeColumns, timeUnitMs } from '../table/timeColumns.ts';

const START_NAMES = new Set([
  ...['start', 'stim', 'tstart', 't0', 'starttime', 'startdatetime', 'startinstant', 'startutc', 'tzero', 'timezero'],
  ...['zerotime', 'basetime', 'origin', 'reftime', 'tref', 'datetime', 'strt', 'epoch'],
]);
const DATE_NAMES = new Set(['startdate', 'sdat', 'date']);
const TIME_NAMES = new Set(['starttime', 'stim', 'time', 'tim']);
const DEPTH_NAMES = new Set(['dept', 'depth', 'md']);

export type LasTime =
  | { readonly kind: 'time'; readonly columns: TimeColumns; readonly note: string | null }
  | { readonly kind: 'refused'; readonly line: string };

export interface LasStart {
  readonly ms: number;
  readonly note: string | null;
}

/** A date written year first with blanks, as the standard prefers it, and with a time behind it. */
const asInstant = (data: string, instants: Instants): number =>
  Number.isNaN(readEpoch(data)) ? instants.read(data) : Number.NaN;

/** The instant that the header names as the start, ~P before ~W; null for none. */
export function lasStart(fold: Pick<LasFold, 'well' | 'parameters'>, utcOffsetMs: number): LasStart | null {
  const instants = new Instants(utcOffsetMs);
  const lines: readonly LasHeaderLine[] = [...fold.parameters, ...fold.well];
  const named = (names: ReadonlySet<string>) => lines.filter(({ mnemonic }) => names.has(bareName(mnemonic)));
  for (const names of [START_NAMES, DATE_NAMES]) {
    for (const { data } of named(names)) {
      const ms = asInstant(data, instants);
      if (!Number.isNaN(ms)) return { ms, note: null };
    }
  }
  const date = named(DATE_NAMES).find(({ data }) => !Number.isNaN(readDate(data)));
  if (date === undefined) return null;
  for (const { data } of named(TIME_NAMES)) {
    const ms = instants.join(date.data, data);
    if (!Number.isNaN(ms)) return { ms, note: null };
  }
  return {
    ms: instants.midnight(date.data),
    note: `the header names the day ${shownText(date.data)} and no time of day: the index counts from its midnight`,
  };
}

/** @param first cells of the first row: an index that is a number of seconds since 1970 needs no start. */
export function lasTime(fold: LasFold, first: readonly string[], utcOffsetMs: number): LasTime {
  const { curves, curvesLine } = fold;
  const index = curves[0]!;
  const name = shownText(`${index.mnemonic}.${index.unit}`);
  const place = `line ${curvesLine}`;
  if (DEPTH_NAMES.has(bareName(index.mnemonic))) {
    return { kind: 'refused', line: `${place}: found ${name} as the index, expected a log by time` };
  }
  const found = timeColumns(curves.map(({ mnemonic }) => mnemonic));
  if (found?.kind === 'date and time' && isTimeOfDay(curves[found.time]!))
    return { kind: 'time', columns: found, note: null };
  const at = timeUnitMs(index.unit) !== undefined ? 0 : found?.kind === 'instant' ? found.index : 0;
  if (!Number.isNaN(readEpoch(first[at] ?? '')))
    return { kind: 'time', columns: { kind: 'instant', index: at }, note: null };
  const unitMs = timeUnitMs(curves[at]!.unit);
  if (unitMs === undefined) {
    return { kind: 'refused', line: `${place}: found ${name} as the index, expected a time such as TIME.S` };
  }
  const start = lasStart(fold, utcOffsetMs);
  if (start === null) {
    const expected = 'the instant that it counts from, such as START. 2031-03-04T12:00:00Z : in ~P';
    return { kind: 'refused', line: `${place}: found ${name} and no date in the header, expected ${expected}` };
  }
  return { kind: 'time', columns: { kind: 'elapsed', index: at, startMs: start.ms, unitMs }, note: start.note };
}

const isTimeOfDay = ({ unit }: LasCurve): boolean => timeUnitMs(unit) === undefined;
