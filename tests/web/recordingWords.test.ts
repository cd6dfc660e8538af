import { expect, test } from 'vitest';
import type { RecordingState } from '../../src/live/messages.ts';
import { recordingMark, recordingWords } from '../../web/frame/recordingWords.ts';

const time = (ms: number): string => `time ${ms}`;
const RUN = { run: 'id', name: 'trip 4', frames: 12_345, room: 'plenty', resumedMs: null } as const;

const TABLE: readonly (readonly [RecordingState, string | null, RegExp])[] = [
  [{ state: 'not kept' }, null, /^Not kept/],
  [{ state: 'recording', ...RUN }, null, /^Recorded as trip 4, 12.345 frames on the disk\.$/],
  [{ state: 'recording', ...RUN, room: 'low' }, 'Disk nearly full', /; less than 10 % of the disk is free\.$/],
  [{ state: 'recording', ...RUN, room: 'very low' }, 'Disk nearly full', /; less than 5 % of the disk is free\.$/],
  [{ state: 'recording', ...RUN, resumedMs: 9 }, null, /; resumed time 9 behind a hole\.$/],
  [
    { state: 'closed', run: 'id', name: 'trip 4', frames: 12_345 },
    'Run closed',
    /^Kept as trip 4, closed: 12.345 frames\./,
  ],
  [
    { state: 'not recording', ...RUN, room: 'full', why: 'disk full', sinceMs: 5 },
    'Not recording',
    /^Not recording since time 5: disk full\. 12.345 frames on the disk\. Recording goes on by itself/,
  ],
];

test.each(TABLE)('%j', (recording, mark, words) => {
  expect(recordingMark(recording)).toBe(mark);
  expect(recordingWords(recording, time)).toMatch(words);
});
