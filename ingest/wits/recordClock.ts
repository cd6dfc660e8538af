/** DATE and TIME items to instants, record by record, without a Date object a packet. */

const DAY_MS = 86_400_000;
/** Two-digit years from here on are of the 1900s (a choice: the standard states none). */
const PIVOT_YEAR = 70;
/** A TIME without a DATE that is this much earlier than the one before lies past midnight. */
const MIDNIGHT_STEP_MS = DAY_MS / 2;

/** Days since 1970-01-01 of a date in the proleptic Gregorian calendar; NaN when there is no such date. */
export function daysSince1970(year: number, month: number, day: number): number {
  if (!(month >= 1 && month <= 12 && day >= 1)) return Number.NaN;
  const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  const long = month === 2 ? (leap ? 29 : 28) : month === 4 || month === 6 || month === 9 || month === 11 ? 30 : 31;
  if (day > long) return Number.NaN;
  // Counted from 1 March, so that the leap day is the last of its year.
  const y = month > 2 ? year : year - 1;
  const dayOfYear = Math.floor((153 * ((month + 9) % 12) + 2) / 5) + day - 1;
  return 365 * y + Math.floor(y / 4) - Math.floor(y / 100) + Math.floor(y / 400) + dayOfYear - 719_468;
}

/** Days since 1970 of a DATE item, YYMMDD as a number (or YYYYMMDD, which some sources send); NaN when it is none. */
export function dateDays(date: number): number {
  const whole = Math.round(date);
  const year = Math.floor(whole / 10_000);
  if (!(whole > 0) || (year > 99 && (year < 1970 || year > 2069))) return Number.NaN;
  const full = year > 99 ? year : year >= PIVOT_YEAR ? 1900 + year : 2000 + year;
  return daysSince1970(full, Math.floor(whole / 100) % 100, whole % 100);
}

/** Milliseconds since midnight of a TIME item, HHMMSS as a number, perhaps with a fraction; NaN when it is none. */
export function timeOfDayMs(time: number): number {
  const ms = Math.round(time * 1000);
  const hours = Math.floor(ms / 10_000_000);
  const minutes = Math.floor(ms / 100_000) % 100;
  const seconds = ms % 100_000;
  if (!(ms >= 0 && hours < 24 && minutes < 60 && seconds < 60_000)) return Number.NaN;
  return hours * 3_600_000 + minutes * 60_000 + seconds;
}

export class RecordClock {
  private readonly utcOffsetMs: number;
  private dateText = Number.NaN;
  private dateTextDays = Number.NaN;
  /** The last day of any record, for a record that never sends its DATE. */
  private lastDay = Number.NaN;
  private readonly dayOf = new Float64Array(100).fill(Number.NaN);
  private readonly timeOf = new Float64Array(100).fill(Number.NaN);

  constructor(utcOffsetMs: number) {
    this.utcOffsetMs = utcOffsetMs;
  }

  /**
   * The instant of a packet of `record` (1 to 99), ms since 1970 UTC; NaN when it cannot be told.
   * @param date the DATE item, NaN when the packet has none: then the last date holds, and rolls over at midnight.
   */
  instant(record: number, date: number, time: number): number {
    const timeMs = timeOfDayMs(time);
    if (Number.isNaN(timeMs)) return Number.NaN;
    const day = Number.isNaN(date) ? this.dayWithout(record, timeMs) : this.days(date);
    if (Number.isNaN(day)) return Number.NaN;
    this.dayOf[record] = day;
    this.timeOf[record] = timeMs;
    this.lastDay = day;
    return day * DAY_MS + timeMs - this.utcOffsetMs;
  }

  private days(date: number): number {
    if (date !== this.dateText) {
      this.dateText = date;
      this.dateTextDays = dateDays(date);
    }
    return this.dateTextDays;
  }

  private dayWithout(record: number, timeMs: number): number {
    const day = this.dayOf[record]!;
    if (Number.isNaN(day)) return this.lastDay;
    return timeMs < this.timeOf[record]! - MIDNIGHT_STEP_MS ? day + 1 : day;
  }
}
