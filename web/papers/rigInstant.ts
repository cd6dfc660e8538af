/** A date and a time of day as the rig's clocks show them, as people write them. */
const WRITTEN = /^\s*(\d{4}-\d\d-\d\d)[ T](\d\d?):(\d\d)(?::(\d\d))?\s*$/;

/** @param offsetMs rig time less UTC @returns ISO 8601 in UTC; null where no clock shows it */
export function rigInstant(text: string, offsetMs: number): string | null {
  const [, date, hours, minutes, seconds = '00'] = WRITTEN.exec(text) ?? [];
  if (!date || !hours) return null;
  const said = `${date}T${hours.padStart(2, '0')}:${minutes}:${seconds}`;
  const ms = Date.parse(`${said}Z`);
  // A day or an hour that there is not would be taken for the next one.
  if (Number.isNaN(ms) || new Date(ms).toISOString().slice(0, 19) !== said) return null;
  return new Date(ms - offsetMs).toISOString();
}
