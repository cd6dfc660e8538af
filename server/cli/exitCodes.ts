/** What the program's end says: 0 done, 2 unusable input and nothing written, 1 anything else. */
import type { FaultCode } from '../../src/fault.ts';

export const EXIT_DONE = 0;
export const EXIT_FAILED = 1;
export const EXIT_UNUSABLE = 2;

export const EXIT_CODES: Readonly<Record<FaultCode, number>> = {
  'file unreadable': EXIT_UNUSABLE,
  'file too large': EXIT_UNUSABLE,
  'not json': EXIT_UNUSABLE,
  'bad plan': EXIT_UNUSABLE,
  'bad channel map': EXIT_UNUSABLE,
  'bad caliper': EXIT_UNUSABLE,
  'bad journal': EXIT_UNUSABLE,
  'unknown format': EXIT_UNUSABLE,
  'nothing usable': EXIT_UNUSABLE,
  'bad option': EXIT_UNUSABLE,
  'port in use': EXIT_FAILED,
  unreachable: EXIT_FAILED,
  'cannot write': EXIT_FAILED,
  'not whole': EXIT_FAILED,
  'not built': EXIT_FAILED,
};
