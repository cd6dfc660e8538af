/** What the page says of the recording: whether what is seen is kept, and what stands against it. */
import type { LeftOutState, RecordingState } from '../../src/live/messages.ts';
import { decimal } from '../figures.ts';

/** Words for the room on the disk; null where there is plenty, or it does not matter. */
const ROOM_SAYINGS: Readonly<Record<Extract<RecordingState, { room: unknown }>['room'], string | null>> = {
  plenty: null,
  low: 'less than 10 % of the disk is free',
  'very low': 'less than 5 % of the disk is free',
  full: 'the disk is full',
  unknown: null,
};

/** @param time how an instant of our clock is written */
export function recordingWords(recording: RecordingState, time: (ms: number) => string): string {
  if (recording.state === 'not kept') return 'Not kept: no data folder was named.';
  if (recording.state === 'closed') {
    return `Kept as ${recording.name}, closed: ${decimal(recording.frames, 0)} frames. No more is taken into it.`;
  }
  const { name, frames, room, resumedMs } = recording;
  const kept = `${decimal(frames, 0)} frames on the disk`;
  if (recording.state === 'not recording') {
    return `Not recording since ${time(recording.sinceMs)}: ${recording.why}. ${kept}. Recording goes on by itself when it can.`;
  }
  const parts = [`Recorded as ${name}, ${kept}`];
  const warning = ROOM_SAYINGS[room];
  if (warning !== null) parts.push(warning);
  if (resumedMs !== null) parts.push(`resumed ${time(resumedMs)} behind a hole`);
  return `${parts.join('; ')}.`;
}

/** What is damaged in the log, in few words: the one place, or how many. */
export const leftOutWords = ({ count, places }: LeftOutState): string =>
  count === 1 ? places[0]!.line : `${decimal(count, 0)} damaged places left out`;

/** The mark in the masthead: only what somebody should do something about. */
export function recordingMark(recording: RecordingState): string | null {
  switch (recording.state) {
    case 'not kept':
      return null;
    case 'closed':
      return 'Run closed';
    case 'not recording':
      return 'Not recording';
    case 'recording':
      return recording.room === 'low' || recording.room === 'very low' || recording.room === 'full'
        ? 'Disk nearly full'
        : null;
  }
}
