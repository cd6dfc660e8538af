/** Words and figures of the library. */
import type { ListedRunState, Understood } from '../../src/library/librarySchema.ts';
import { decimal, rigDate, rigTime, span, UNKNOWN } from '../figures.ts';

export const STATE_WORDS: Readonly<Record<ListedRunState['state'], string>> = {
  recording: 'being recorded',
  closed: 'closed',
  'not closed': 'not closed: its recording broke off',
};

export const FORMAT_WORDS: Readonly<Record<string, string>> = {
  wits0: 'WITS level 0',
  csv: 'CSV',
  las: 'LAS 2.0',
  witsml: 'WITSML 1.4.1.1 log',
};

/** UTC: runs of different rigs stand in one list. */
export const instant = (ms: number | null): string =>
  ms === null || ms <= 0 ? UNKNOWN : `${rigDate(ms, 0)} ${rigTime(ms, 0)}`;

export function sizeWords(bytes: number): string {
  if (bytes < 1e6) return `${decimal(bytes / 1e3, 0)} kB`;
  return bytes < 1e9 ? `${decimal(bytes / 1e6, 1)} MB` : `${decimal(bytes / 1e9, 2)} GB`;
}

export interface RunSpan {
  readonly from: string;
  readonly to: string;
  /** By whose clock. */
  readonly clock: 'rig' | 'ours';
}

/** By the clock of the rig once the run has been read through, by ours before that. */
export function spanOf({ fromMs, toMs, createdMs, lastMs }: ListedRunState): RunSpan {
  if (fromMs !== null && toMs !== null) return { from: instant(fromMs), to: instant(toMs), clock: 'rig' };
  return { from: instant(createdMs), to: instant(lastMs), clock: 'ours' };
}

export type Wholeness = { readonly sign: 'good' | 'high' | 'blind'; readonly words: string };

export function wholenessOf({ checked, problems }: ListedRunState): Wholeness {
  if (checked && !checked.whole) {
    return { sign: 'high', words: `${checked.problems} ${checked.problems === 1 ? 'place' : 'places'} not whole` };
  }
  if (problems.length > 0) return { sign: 'high', words: 'its index is damaged' };
  if (checked) return { sign: 'good', words: `whole on ${rigDate(checked.atMs, 0)}` };
  return { sign: 'blind', words: 'not verified' };
}

export function understoodWords({ format, rows, samples, fromMs, toMs }: Understood): string {
  const what = format === 'wits0' ? 'frames' : 'rows';
  return `${FORMAT_WORDS[format] ?? format}: ${decimal(rows, 0)} ${what}, ${decimal(samples, 0)} samples, ${span((toMs - fromMs) / 1000)} from ${instant(fromMs)} to ${instant(toMs)} UTC`;
}
