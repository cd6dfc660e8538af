/** Which columns of a table make the time, and how a row gives its instant. */
import { bareName } from './columnNames.ts';
import type { Instants } from './instant.ts';

/** Names of a column that holds the time, the best first; common practice. */
const TIME_NAMES = [
  ...[
    'datetime',
    'dateandtime',
    'datetimeutc',
    'utcdatetime',
    'timestamp',
    'timestamputc',
    'timeutc',
    'utctime',
    'utc',
  ],
  ...['time', 'tim', 'localtime', 'rigtime', 'systemtime', 'rtime', 'epoch', 'epochtime', 'epochms', 'epochs'],
  ...['unixtime', 'unix', 'unixms', 'timeepoch', 'etim', 'elapsedtime'],
];
const DATE_NAMES = ['date', 'dateutc', 'utcdate', 'localdate', 'rigdate', 'day'];

export type TimeColumns =
  | { readonly kind: 'instant'; readonly index: number }
  | { readonly kind: 'date and time'; readonly date: number; readonly time: number }
  /** A number of `unitMs` since `startMs`. */
  | { readonly kind: 'elapsed'; readonly index: number; readonly startMs: number; readonly unitMs: number };

const TIME_UNITS_MS: Readonly<Record<string, number>> = {
  ms: 1,
  msec: 1,
  s: 1000,
  sec: 1000,
  secs: 1000,
  second: 1000,
  seconds: 1000,
  min: 60_000,
  mins: 60_000,
  minute: 60_000,
  minutes: 60_000,
  h: 3_600_000,
  hr: 3_600_000,
  hrs: 3_600_000,
  hour: 3_600_000,
  hours: 3_600_000,
  d: 86_400_000,
  day: 86_400_000,
  days: 86_400_000,
};

/** Ms in a unit of time; undefined for what is none. */
export function timeUnitMs(unit: string): number | undefined {
  const name = unit.trim().toLowerCase();
  return Object.hasOwn(TIME_UNITS_MS, name) ? TIME_UNITS_MS[name] : undefined;
}

/** By the names alone; null where no column is called what times are called. */
export function timeColumns(names: readonly string[]): TimeColumns | null {
  const bare = names.map(bareName);
  const first = (wanted: readonly string[]): number => {
    for (const name of wanted) {
      const index = bare.indexOf(name);
      if (index >= 0) return index;
    }
    return -1;
  };
  const time = first(TIME_NAMES);
  const date = first(DATE_NAMES);
  if (time >= 0 && date >= 0) return { kind: 'date and time', date, time };
  const index = Math.max(time, date);
  return index < 0 ? null : { kind: 'instant', index };
}

export function timeIndices(columns: TimeColumns): readonly number[] {
  return columns.kind === 'date and time' ? [columns.date, columns.time] : [columns.index];
}

const NUMBER = /^[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)$/;

/** Ms since 1970 UTC of a row; NaN when it cannot be told. */
export function instantOf(columns: TimeColumns, cells: readonly string[], instants: Instants): number {
  if (columns.kind === 'instant') return instants.read(cells[columns.index]!.trim());
  if (columns.kind === 'date and time') {
    const time = cells[columns.time]!.trim();
    const joined = instants.join(cells[columns.date]!.trim(), time);
    // A column of times may hold whole instants, whatever stands in the one of dates.
    return Number.isNaN(joined) ? instants.read(time) : joined;
  }
  const text = cells[columns.index]!.trim();
  if (!NUMBER.test(text) || text.length > 40) return Number.NaN;
  return columns.startMs + Math.round(Number(text.replace(',', '.')) * columns.unitMs);
}

/** What stands where a row's time should: for the line that says why it was not read. */
export function timeText(columns: TimeColumns, cells: readonly string[]): string {
  return timeIndices(columns)
    .map((index) => (cells[index] ?? '').trim())
    .join(' ');
}
