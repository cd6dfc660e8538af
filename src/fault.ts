/**
 * Two kinds of wrong: something outside failed, or we did. The first is a `Fault`: a value with a code and one clear
 * line (place, found, expected). The second is an assertion and stops loudly.
 */

/** Every code that a user may meet. README lists the same codes; a test compares the two. */
export const FAULT_CODES = {
  'file unreadable': 'A named file cannot be opened or read.',
  'file too large': 'A file is larger than the limit for its kind.',
  'not json': 'A file that should be JSON does not parse.',
  'bad plan': 'The plan does not follow jointwise-plan/1.',
  'bad channel map': 'The channel map does not follow jointwise-channels/1.',
  'bad caliper': 'A caliper log holds nothing that can be used.',
  'bad journal': 'A line of the journal does not follow the promised form.',
  'unknown format': 'The format of a recorded stream is not recognised.',
  'nothing usable': 'A recorded stream holds no usable sample.',
  'bad option': 'A command line option is unknown, missing or out of range.',
  'port in use': 'A port that should be listened on is taken.',
  unreachable: 'A source cannot be reached.',
  'cannot write': 'An output file cannot be written.',
  'not whole': 'A recorded run holds something that does not check, or lacks something.',
  'not built': 'The page or program has not been built.',
} as const;
export type FaultCode = keyof typeof FAULT_CODES;

/** Something outside failed. Carried as an exception to the edge of the program, where it becomes one line. */
export class Fault extends Error {
  readonly code: FaultCode;
  constructor(code: FaultCode, line: string) {
    super(line);
    this.name = 'Fault';
    this.code = code;
  }
}

/** A broken promise of our own code: stops loudly. */
export function invariant(holds: boolean, promise: string): asserts holds {
  if (!holds) throw new Error(`broken promise: ${promise}`);
}
