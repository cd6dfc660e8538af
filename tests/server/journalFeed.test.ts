import fc from 'fast-check';
import { expect, test } from 'vitest';
import { createJournalFeed } from '../../server/live/journalFeed.ts';
import { emptySample } from '../../src/channels.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';

const times = fc.array(fc.integer({ min: 0, max: 50 }), { maxLength: 30 }).map((list) => list.sort((a, b) => a - b));

test('entries and samples come out merged in time, an entry before a sample of its own instant', () => {
  fc.assert(
    fc.property(times, times, (entrySeconds, sampleSeconds) => {
      const entries: JournalEntry[] = entrySeconds.map((second) => {
        return { at: new Date(second * 1000).toISOString(), by: 'a', action: 'note', text: '' };
      });
      const got: [number, 'entry' | 'sample'][] = [];
      const feed = createJournalFeed(entries, (input) => {
        if (input.kind === 'sample') got.push([input.sample.sourceMs, 'sample']);
        else got.push([Date.parse(input.entry.at), 'entry']);
      });
      for (const second of sampleSeconds) feed.sample(emptySample(second * 1000, 0));
      feed.end();
      const expected: typeof got = [
        ...entrySeconds.map((second): [number, 'entry'] => [second * 1000, 'entry']),
        ...sampleSeconds.map((second): [number, 'sample'] => [second * 1000, 'sample']),
      ];
      expect(got).toEqual(expected.sort((a, b) => a[0] - b[0] || (a[1] === b[1] ? 0 : a[1] === 'entry' ? -1 : 1)));
    }),
  );
});
