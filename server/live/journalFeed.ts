/** Lays the entries of a journal between the samples of a stream, each before the first sample that is not older. */
import type { Sample } from '../../src/channels.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import type { PipelineInput } from '../../src/pipeline/run.ts';

export interface JournalFeed {
  sample(sample: Sample): void;
  /** What has just been done: it is worked in now, behind the sample before. */
  enter(entry: JournalEntry): void;
  /** What was done up to an instant is worked in, though no sample that late has come. */
  upTo(ms: number): void;
  /** The stream has ended: what people did after its last sample still counts. */
  end(): void;
}

/** @param entries in the order of their instants. */
export function createJournalFeed(entries: readonly JournalEntry[], sink: (input: PipelineInput) => void): JournalFeed {
  let next = 0;
  let nextMs = entries[0] ? Date.parse(entries[0].at) : Infinity;
  const upTo = (ms: number) => {
    while (nextMs <= ms && next < entries.length) {
      sink({ kind: 'journal', entry: entries[next]! });
      next++;
      nextMs = next < entries.length ? Date.parse(entries[next]!.at) : Infinity;
    }
  };
  return {
    sample(sample) {
      if (nextMs <= sample.sourceMs) upTo(sample.sourceMs);
      sink({ kind: 'sample', sample });
    },
    enter: (entry) => sink({ kind: 'journal', entry }),
    upTo,
    end: () => upTo(Infinity),
  };
}
