import { describe, expect, test } from 'vitest';
import { GAP_CAUSES } from '../../src/causes.ts';
import { PHASE_NAMES } from '../../src/phases.ts';
import { isAbnormal } from '../../web/status/abnormal.ts';
import { gaugeMarks } from '../../web/status/gaugeScale.ts';
import { blindWords, causeInWords, judgementWords, phaseSentence } from '../../web/status/statusWords.ts';
import { nowAt } from '../support/liveScenes.ts';

describe('in words', () => {
  test.each([
    ['expanding screen', 'S3', 'Expanding screen S3'],
    ['stalled', 'S3', 'Stalled in S3'],
    ['making connection', 'S3', 'Making connection, S3'],
    ['pulling out', null, 'Pulling out'],
  ] as const)('%s on %s: %s', (phase, joint, sentence) => {
    expect(phaseSentence(nowAt(2470, { phase }), joint)).toBe(sentence);
  });

  test('every phase and every cause is said, each in its own words, and fits the strip', () => {
    const phases = PHASE_NAMES.map((phase) => phaseSentence(nowAt(2470, { phase }), 'Z1'));
    expect(new Set(phases).size).toBe(PHASE_NAMES.length);
    for (const sentence of phases) expect(sentence.length).toBeLessThanOrEqual(22);
    const details = PHASE_NAMES.map(
      (phase) => judgementWords(nowAt(2470, { phase, judgement: { state: 'idle', causes: [] } })).detail,
    );
    for (const detail of details) expect(detail.length).toBeLessThanOrEqual(38);
    expect(new Set(GAP_CAUSES.map(causeInWords)).size).toBe(GAP_CAUSES.length);
  });

  test('the judgement names every cause; none is better than the phase says', () => {
    const spoken = judgementWords(nowAt(2470, { judgement: { state: 'bad', causes: ['low pressure', 'fast feed'] } }));
    expect(spoken).toEqual({ tone: 'bad', headline: 'Not good', detail: 'pressure too low, feed too fast' });
    const stalled = judgementWords(nowAt(2470, { phase: 'stalled', judgement: { state: 'bad', causes: [] } }));
    expect(stalled.detail).toBe('Rolling, and not getting deeper.');
  });

  test('an instant that differs from the phase is not explained by the phase', () => {
    expect(judgementWords(nowAt(2470, { judgement: { state: 'idle', causes: [] } })).detail).toBe('At this moment.');
  });

  test('old data, a lost link and no data each say so', () => {
    const headlines = [
      blindWords({ kind: 'fresh', ageS: 1 }, { link: 'connected' }),
      blindWords({ kind: 'stale', ageS: 9 }, { link: 'connected' }),
      blindWords({ kind: 'stale', ageS: 9 }, { link: 'ended' }),
      blindWords({ kind: 'link lost', ageS: 9 }, { link: 'connected' }),
      blindWords({ kind: 'nothing yet' }, null),
    ].map((spoken) => spoken?.headline ?? null);
    expect(headlines).toEqual([null, 'No data', 'Stream ended', 'Link to the service lost', 'Waiting for a reading']);
  });
});

describe('gauges', () => {
  test.each([
    // value  min    max      state        at
    [9140, 7500, 11_000, 'within', 9140 / 14_300],
    [5980, 7500, 11_000, 'below', 5980 / 14_300],
    [12_000, 7500, 11_000, 'above', 12_000 / 14_300],
    [20_000, 7500, 11_000, 'above', 1],
    [-4, null, 2, 'within', 0],
    [31, 15, null, 'within', 31 / 45],
    [null, 7500, 11_000, 'unknown', null],
    [31, null, null, 'no bounds', null],
  ] as const)('%s against %s to %s is %s', (value, min, max, state, at) => {
    const marks = gaugeMarks(value, { min, max });
    expect(marks.state).toBe(state);
    if (at === null) expect(marks.at).toBeNull();
    else expect(marks.at).toBeCloseTo(at, 9);
  });

  test('a reading beyond the end is held there and marked', () => {
    expect(gaugeMarks(20_000, { min: 7500, max: 11_000 }).off).toBe('above');
  });
});

test.each([
  // reading   lies     judgement  wrong
  ['pressure', 'below', 'bad', true],
  ['pressure', 'below', 'idle', false],
  ['pressure', 'above', 'idle', true],
  ['torque', 'above', 'good', true],
  ['rotation', 'below', 'idle', false],
  ['rotation', 'below', 'bad', true],
  ['feed', 'above', 'idle', false],
  ['feed', 'above', 'bad', true],
  ['feed', 'unknown', 'bad', false],
] as const)('%s %s its bounds while %s: shown as wrong: %s', (name, at, judgement, wrong) => {
  expect(isAbnormal(name, at, judgement)).toBe(wrong);
});
