/** Why rows, lines or values of a recorded table were refused: each reason once, with what its number counts. */

export interface RowRefusal {
  /** What one count of it is. */
  readonly of: 'rows' | 'lines' | 'values' | 'times' | 'files';
  readonly says: string;
}

const refusal = (of: RowRefusal['of'], says: string): RowRefusal => ({ of, says });

export const ROW_REFUSALS = {
  'ragged row': refusal('rows', 'A row with more or fewer cells than there are columns.'),
  'unclosed quote': refusal('rows', 'A row with a quoted cell that does not end.'),
  'unreadable time': refusal('rows', 'A row that does not say of which instant it is.'),
  'repeated row': refusal('rows', 'A row that says again what was already said of the same instant.'),
  'second row of one instant': refusal('rows', 'Another reading of an instant that was already passed on.'),
  'out of order': refusal('rows', 'A row stamped before one that was already passed on.'),
  'odd time stamp': refusal('rows', 'A row whose stamp lies far from those before and after it.'),
  'row beyond the limit': refusal('rows', 'A row of a newest-first table that is too long to be put in order.'),
  'clock step': refusal('times', "The source's clock was set back for good; the run's time goes on from where it was."),
  'unreadable value': refusal('values', 'Text where the column should hold a number or a flag.'),
  'unlisted column': refusal('values', 'A value of a column that feeds no channel and is beyond those listed.'),
  'line too long': refusal('lines', 'A line that is longer than any row can be.'),
  'line before the header': refusal('lines', 'A line above the column names that says nothing to us.'),
  'line after the data': refusal('lines', 'A line behind the end of the rows.'),
  'row of another log': refusal('lines', 'A row of a log in the same file other than the one that is read.'),
  'broken off': refusal('files', 'The file could not be read beyond a place; what came before it was kept.'),
} as const satisfies Record<string, RowRefusal>;

export type RowRefusalReason = keyof typeof ROW_REFUSALS;
export const ROW_REFUSAL_REASONS = Object.keys(ROW_REFUSALS) as RowRefusalReason[];

/** Reasons under which a row made no sample. */
export const LOST_ROWS = ROW_REFUSAL_REASONS.filter((reason) => ROW_REFUSALS[reason].of === 'rows');

export function noRowRefusals(): Record<RowRefusalReason, number> {
  return Object.fromEntries(ROW_REFUSAL_REASONS.map((reason) => [reason, 0])) as Record<RowRefusalReason, number>;
}
