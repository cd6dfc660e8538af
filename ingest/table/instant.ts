/**
 * Texts to instants: ISO 8601 with or without zone, dates written year first, with a month's name, or day first with dots;
 * WITS dates and times without marks; seconds, milliseconds, micro- or nanoseconds since 1970. `03/04/2031` is refused:
 * nothing says which of its numbers is the month.
 */
import { dateDays, daysSince1970, timeOfDayMs } from '../wits/recordClock.ts';

const DAY_MS = 86_400_000;
const LONGEST_TEXT = 48;
const MONTHS = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec'];

const YEAR_FIRST = /^(\d{4})([-/. ])(\d{1,2})\2(\d{1,2})/;
const DAY_FIRST = /^(\d{1,2})\.(\d{1,2})\.(\d{4})/;
const MONTH_NAME = /^(\d{1,2})[- ]([A-Za-z]{3})[- ](\d{4})/;
const COMPACT = /^(?:\d{8}|\d{6})(?=$|[T ])/;
const DATE_AND_TIME = /^(\d{8})(\d{6})$/;
const TIME = /^(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,](\d+))?)?\s*([AP]M)?\s*(Z|UTC|GMT|[+-]\d{2}(?::?\d{2})?)?$/i;
const COMPACT_TIME = /^(\d{2})(\d{2})(\d{2})(?:[.,](\d+))?\s*()(Z|[+-]\d{2}(?::?\d{2})?)?$/;
const EPOCH = /^\d{9,19}(?:[.,]\d+)?$/;
/** Epochs by their size, each from 1973 to 2103. */
const EPOCH_UNITS_MS: readonly (readonly [least: number, below: number, unitMs: number])[] = [
  [1e8, 4.2e9, 1000],
  [1e11, 4.2e12, 1],
  [1e14, 4.2e15, 1e-3],
  [1e17, 4.2e18, 1e-6],
];

interface DatePart {
  readonly days: number;
  readonly length: number;
}

/** A date at the start of a text, days since 1970. */
function datePart(text: string): DatePart | null {
  const year = YEAR_FIRST.exec(text);
  if (year) return { days: daysSince1970(Number(year[1]), Number(year[3]), Number(year[4])), length: year[0].length };
  const day = DAY_FIRST.exec(text);
  if (day) return { days: daysSince1970(Number(day[3]), Number(day[2]), Number(day[1])), length: day[0].length };
  const named = MONTH_NAME.exec(text);
  if (named) {
    const month = MONTHS.indexOf(named[2]!.toLowerCase()) + 1;
    return { days: daysSince1970(Number(named[3]), month, Number(named[1])), length: named[0].length };
  }
  const compact = COMPACT.exec(text);
  return compact ? { days: dateDays(Number(compact[0])), length: compact[0].length } : null;
}

function zoneMs(zone: string | undefined): number {
  if (zone === undefined || zone === '') return Number.NaN;
  const sign = zone.startsWith('-') ? -1 : zone.startsWith('+') ? 1 : 0;
  if (sign === 0) return 0;
  const digits = zone.slice(1).replace(':', '');
  return sign * (Number(digits.slice(0, 2)) * 60 + Number(digits.slice(2) || 0)) * 60_000;
}

export interface TimePart {
  readonly ms: number;
  /** Added to UTC; NaN where the text does not say. */
  readonly zoneMs: number;
}

/** A time of day; fractions beyond the millisecond are cut. Null for none. */
export function readTimeOfDay(text: string): TimePart | null {
  const found = TIME.exec(text) ?? COMPACT_TIME.exec(text);
  if (found === null || text.length > LONGEST_TEXT) return null;
  const [, hour, minute, second = '0', fraction = '', half, zone] = found;
  let hours = Number(hour);
  if (half) {
    if (hours < 1 || hours > 12) return null;
    hours = (hours % 12) + (half.toUpperCase() === 'PM' ? 12 : 0);
  }
  const whole = timeOfDayMs(hours * 10_000 + Number(minute) * 100 + Number(second));
  if (Number.isNaN(whole)) return null;
  return { ms: whole + Number(fraction.slice(0, 3).padEnd(3, '0')), zoneMs: zoneMs(zone) };
}

/** Days since 1970 of a text that is a date and nothing else; NaN for none. */
export function readDate(text: string): number {
  if (text.length > LONGEST_TEXT) return Number.NaN;
  const date = datePart(text);
  return date !== null && date.length === text.length ? date.days : Number.NaN;
}

/** Ms since 1970 UTC of a number of them, by its size; NaN for one that is no instant. */
export function readEpoch(text: string): number {
  if (!EPOCH.test(text)) return Number.NaN;
  const value = Number(text.replace(',', '.'));
  for (const [least, below, unitMs] of EPOCH_UNITS_MS) {
    if (value >= least && value < below) return Math.floor(value * unitMs + 1e-6);
  }
  return Number.NaN;
}

export class Instants {
  private readonly utcOffsetMs: number;
  private dateText = '';
  private date = Number.NaN;
  /** The date of the last text that held one with a time; no text begins with the first. */
  private dayText = '\n';
  private day = Number.NaN;

  /** @param utcOffsetMs of texts that do not say their zone. */
  constructor(utcOffsetMs: number) {
    this.utcOffsetMs = utcOffsetMs;
  }

  /** A date with a time of day, or an epoch; NaN for anything else. */
  read(text: string): number {
    if (text.length > LONGEST_TEXT) return Number.NaN;
    // Rows of one day, the usual form first.
    if (text.length > 11 && text.startsWith(this.dayText)) {
      const mark = text[this.dayText.length];
      if (mark === 'T' || mark === ' ')
        return this.at(this.day, readTimeOfDay(text.slice(this.dayText.length + 1).trim()));
    }
    const joined = DATE_AND_TIME.exec(text);
    if (joined) {
      const at = this.join(joined[1]!, joined[2]!);
      if (!Number.isNaN(at)) return at;
    }
    const date = datePart(text);
    if (date === null) return readEpoch(text);
    const mark = text[date.length];
    if (mark !== 'T' && mark !== 't' && mark !== ' ') return Number.NaN;
    this.dayText = text.slice(0, date.length);
    this.day = date.days;
    return this.at(date.days, readTimeOfDay(text.slice(date.length + 1).trim()));
  }

  /** A date and a time of day in texts of their own. */
  join(date: string, time: string): number {
    if (date !== this.dateText) {
      this.dateText = date;
      this.date = readDate(date);
    }
    return this.at(this.date, readTimeOfDay(time));
  }

  /** Midnight at the start of a date, in the zone of the texts. */
  midnight(date: string): number {
    return readDate(date) * DAY_MS - this.utcOffsetMs;
  }

  private at(days: number, time: TimePart | null): number {
    if (time === null) return Number.NaN;
    return days * DAY_MS + time.ms - (Number.isNaN(time.zoneMs) ? this.utcOffsetMs : time.zoneMs);
  }
}
