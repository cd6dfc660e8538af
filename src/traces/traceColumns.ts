/**
 * One row of the traces; the order of the columns is `TRACE_COLUMNS`. `breach` is a bit set of `BREACHES`: which
 * bounds the instant breaks, judged by the bounds in force then, so that a zoomed-out trace can keep the worst of a bucket.
 */
export const TRACE_COLUMNS = [
  'sourceMs',
  'standpipePressure',
  'toolPressure',
  'flowIn',
  'torque',
  'rotation',
  'hookload',
  'setDown',
  'toolDepth',
  'blockPosition',
  'feed',
  'pressureMin',
  'pressureMax',
  'breach',
] as const;
export type TraceColumn = (typeof TRACE_COLUMNS)[number];
export const BREACHES = { pressure: 1, rotation: 2, feed: 4, torque: 8, noData: 16 } as const;
/** Null: not known. */
export type TraceRow = (number | null)[];
