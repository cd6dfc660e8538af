import { beforeEach, describe, expect, test } from 'vitest';
import type { PageMessage, SharedMessage } from '../../src/live/messages.ts';
import { looking } from '../../web/replay/replayState.ts';
import { ingest } from '../../web/state.ts';
import {
  follow,
  linkShared,
  ownMove,
  takeLead,
  takeShared,
  toggleFollow,
  watchAgain,
} from '../../web/together/sharedLink.ts';
import { instantOf, shared, stance } from '../../web/together/sharedState.ts';
import { sharedWords, watchersWords } from '../../web/together/togetherWords.ts';
import { SCENES, snapshotOf } from '../support/liveScenes.ts';

let said: PageMessage[];
const message = (over: Partial<SharedMessage> = {}): SharedMessage => ({
  type: 'shared',
  serverMs: 0,
  leader: { name: 'Day shift' },
  you: { as: 'alone', heard: said.length },
  place: { sinceMs: 0, at: { kind: 'at', atMs: 1000, playing: false, speed: 60 } },
  watching: 2,
  following: 0,
  ...over,
});
const withLink = (link: 'connected' | 'ended'): void => {
  ingest.value = { ...snapshotOf(SCENES.good!()).ingest, link };
};

beforeEach(() => {
  said = [];
  stance.value = 'undecided';
  shared.value = null;
  looking.value = { kind: 'live' };
  linkShared((spoken) => said.push(spoken));
  withLink('connected');
  watchAgain();
});

describe('how a page stands to the shared position', () => {
  test('while the tool runs a page stays where it is until its viewer follows', () => {
    takeShared(message(), 0);
    expect(stance.value).toBe('undecided');
    toggleFollow();
    expect(said.at(-1)).toMatchObject({ type: 'watch', as: 'follows' });
    takeShared(message({ you: { as: 'follows', heard: 2 } }), 0);
    expect(stance.value).toBe('following');
    ownMove();
    expect(said.at(-1)).toMatchObject({ type: 'watch', as: 'alone' });
    expect(stance.value).toBe('alone');
  });

  test('on a run that has ended it follows at once, unless its viewer looks at something else', () => {
    withLink('ended');
    looking.value = { kind: 'replay', atMs: 5, knowing: 'seen' };
    takeShared(message(), 0);
    expect(stance.value).toBe('undecided');
    looking.value = { kind: 'live' };
    takeShared(message(), 0);
    expect(stance.value).toBe('following');
  });

  test('what was sent before the service heard the last word changes nothing', () => {
    takeLead();
    expect(said.map(({ type }) => type)).toEqual(['watch', 'watch', 'take']);
    takeShared(message({ you: { as: 'alone', heard: 1 } }), 0);
    expect(stance.value).toBe('leading');
    takeShared(message({ you: { as: 'leads', heard: 3 } }), 0);
    toggleFollow();
    takeShared(message({ you: { as: 'leads', heard: 3 } }), 0);
    expect(stance.value).toBe('alone');
  });

  test('two take the lead at the same moment: the service has the last word', () => {
    takeLead();
    takeShared(message({ leader: { name: 'Night shift' }, you: { as: 'follows', heard: 3 } }), 0);
    expect(stance.value).toBe('following');
  });

  test('on a new link it says again how it stood', () => {
    follow();
    watchAgain();
    expect(said.at(-1)).toMatchObject({ type: 'watch', as: 'follows' });
    takeShared(message({ you: { as: 'follows', heard: 1 } }), 0);
    expect(stance.value).toBe('following');
  });
});

test('a place that is played moves on by the service’s clock; a still one and the newest end do not', () => {
  const sinceMs = performance.now() + 5_000;
  takeShared(message(), 5_000);
  const at = { kind: 'at', atMs: 1_000, playing: true, speed: 60 } as const;
  const before = instantOf({ sinceMs: sinceMs - 1_000, at })!;
  expect(before).toBeGreaterThanOrEqual(61_000);
  expect(instantOf({ sinceMs: sinceMs - 1_000, at: { ...at, playing: false } })).toBe(1_000);
  expect(instantOf({ sinceMs, at: { kind: 'live' } })).toBeNull();
});

test('it is said who leads, where to, and how many watch', () => {
  const still = message({ watching: 3, following: 1 });
  expect(sharedWords(still, 'alone', 0)).toBe('Day shift leads, at 00:00:01');
  expect(sharedWords(still, 'leading', 0)).toBe('You lead, at 00:00:01');
  expect(sharedWords(message({ leader: null }), 'following', 0)).toBe('Nobody leads any more; left at 00:00:01');
  expect(sharedWords(message({ place: null }), 'alone', 0)).toBeNull();
  const played = message({ place: { sinceMs: 0, at: { kind: 'at', atMs: 0, playing: true, speed: 60 } } });
  expect(sharedWords(played, 'alone', 0)).toBe('Day shift leads, playing at 60×');
  expect(watchersWords(still, true)).toBe('3 watch, 1 follows');
  expect(watchersWords(message({ watching: 1 }), false)).toBe('Nobody else watches');
});
