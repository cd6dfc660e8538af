/** What files for others there are, in words: for whoever offers them, without what writes them. */

export const EXPORT_SAYS = {
  csv: 'samples by time, CSV',
  las: 'samples by time, LAS 2.0',
  'las-depth': 'the liner by depth, LAS 2.0',
  witsml: 'samples by time, WITSML 1.4.1.1',
  record: 'the record, jointwise-record/1',
  'joints.csv': 'the joints of the record, CSV',
  'events.csv': 'the events of the record, CSV',
  'time.csv': 'the time sheet, every stretch of every day, CSV',
} as const satisfies Record<string, string>;

export type ExportName = keyof typeof EXPORT_SAYS;
export const EXPORT_NAMES = Object.keys(EXPORT_SAYS) as [ExportName, ...ExportName[]];
