/** The shared position in words: who leads, where to, who watches, and how this page stands to it. */
import type { SharedMessage } from '../../src/live/messages.ts';
import { rigTime } from '../figures.ts';
import { instantOf, type Stance } from './sharedState.ts';

const leaderName = ({ leader }: SharedMessage): string => (leader?.name ? leader.name : 'Somebody without a name');

function whereTo(place: NonNullable<SharedMessage['place']>, offsetMs: number): string {
  const ms = instantOf(place);
  if (ms === null || place.at.kind === 'live') return 'at the newest end';
  return place.at.playing ? `playing at ${place.at.speed}×` : `at ${rigTime(ms, offsetMs)}`;
}

/** Null: nothing is shared. */
export function sharedWords(shared: SharedMessage, stance: Stance, offsetMs: number): string | null {
  if (!shared.place) return null;
  const where = whereTo(shared.place, offsetMs);
  if (stance === 'leading') return `You lead, ${where}`;
  return shared.leader ? `${leaderName(shared)} leads, ${where}` : `Nobody leads any more; left ${where}`;
}

export const STANCE_SAYINGS: Readonly<Record<Stance, string>> = {
  undecided: 'you look on your own',
  alone: 'you look on your own',
  following: 'you follow',
  leading: '',
};

export const watchersWords = ({ watching, following }: SharedMessage, isShared: boolean): string =>
  watching === 1
    ? 'Nobody else watches'
    : isShared
      ? `${watching} watch, ${following} ${following === 1 ? 'follows' : 'follow'}`
      : `${watching} watch`;
