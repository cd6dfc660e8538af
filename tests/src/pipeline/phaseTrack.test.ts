/** The chain of phases: settling times, dating back, no hole and no overlap. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { PHASE_NAMES, PHASES, type PhaseName } from '../../../src/phases.ts';
import { createPhaseTrack, enterPhase, type PhaseTrack, supportPhase } from '../../../src/pipeline/phaseTrack.ts';

const spell = (track: PhaseTrack): string[] =>
  track.entries.map((entry) => `${entry.phase} ${entry.joint ?? '-'} ${entry.fromMs / 1000}..${entry.toMs / 1000}`);

function support(track: PhaseTrack, phase: PhaseName, joint: string | null, fromS: number, toS: number): void {
  for (let s = fromS; s <= toS; s += 1) supportPhase(track, phase, joint, s * 1000);
}

describe('settling', () => {
  it('enters a phase once it has been supported for its settling time, dated back to when that began', () => {
    const track = createPhaseTrack();
    support(track, 'waiting', null, 0, 20);
    support(track, 'passing blank', 'B1', 21, 25);
    expect(spell(track)).toEqual(['waiting - 0..NaN']);
    support(track, 'passing blank', 'B1', 26, 26);
    expect(spell(track)).toEqual(['waiting - 0..21', 'passing blank B1 21..NaN']);
  });

  it('forgets a candidate that is interrupted', () => {
    const track = createPhaseTrack();
    support(track, 'waiting', null, 0, 20);
    support(track, 'passing blank', 'B1', 21, 25);
    support(track, 'waiting', null, 26, 26);
    support(track, 'passing blank', 'B1', 27, 31);
    expect(spell(track)).toEqual(['waiting - 0..NaN']);
  });

  it('enters at once what needs no settling', () => {
    const track = createPhaseTrack();
    support(track, 'waiting', null, 0, 3);
    supportPhase(track, 'no data', null, 4000);
    expect(spell(track)).toEqual(['waiting - 0..4', 'no data - 4..NaN']);
  });

  it('starts the run with whatever comes first', () => {
    const track = createPhaseTrack();
    supportPhase(track, 'running in', null, 7000);
    expect(spell(track)).toEqual(['running in - 7..NaN']);
  });
});

describe('joints', () => {
  it('a new joint makes a new stretch of expanding, not of waiting', () => {
    const track = createPhaseTrack();
    support(track, 'expanding screen', 'S1', 0, 10);
    support(track, 'expanding screen', 'S2', 11, 20);
    support(track, 'waiting', 'S2', 21, 40);
    support(track, 'waiting', 'S3', 41, 80);
    expect(spell(track)).toEqual(['expanding screen S1 0..11', 'expanding screen S2 11..21', 'waiting S2 21..NaN']);
  });
});

describe('dating back', () => {
  it('never reaches behind the start of the present phase: that one is replaced', () => {
    const track = createPhaseTrack();
    enterPhase(track, 'waiting', null, 0);
    enterPhase(track, 'expanding screen', 'S1', 10_000);
    enterPhase(track, 'stalled', 'S1', 4_000);
    expect(spell(track)).toEqual(['waiting - 0..10', 'stalled S1 10..NaN']);
  });

  it('joins the phase before when nothing is left between', () => {
    const track = createPhaseTrack();
    enterPhase(track, 'waiting', null, 0);
    enterPhase(track, 'circulating', null, 10_000);
    enterPhase(track, 'waiting', null, 10_000);
    expect(spell(track)).toEqual(['waiting - 0..NaN']);
  });
});

describe('whatever comes', () => {
  const evidence = fc.record({
    phase: fc.constantFrom(...PHASE_NAMES),
    joint: fc.constantFrom(null, 'S1', 'S2'),
    lasts: fc.integer({ min: 1, max: 20 }),
    back: fc.option(fc.integer({ min: 0, max: 30 })),
  });

  it('phases follow each other without hole or overlap, no two alike side by side', () => {
    fc.assert(
      fc.property(fc.array(evidence, { minLength: 1, maxLength: 30 }), (list) => {
        const track = createPhaseTrack();
        let s = 0;
        for (const { phase, joint, lasts, back } of list) {
          if (back !== null) enterPhase(track, phase, joint, (s - back) * 1000);
          for (const end = s + lasts; s < end; s += 1) supportPhase(track, phase, joint, s * 1000);
        }
        track.entries.forEach((entry, i) => {
          const next = track.entries[i + 1];
          if (!next) return;
          expect(entry.toMs).toBe(next.fromMs);
          expect(next.fromMs).toBeGreaterThan(entry.fromMs);
          expect(`${entry.phase} ${entry.joint}`).not.toBe(`${next.phase} ${next.joint}`);
        });
        expect(track.entries.at(-1)!.toMs).toBeNaN();
      }),
    );
  });

  it('a phase that is supported long enough is entered, whichever it is', () => {
    for (const phase of PHASE_NAMES) {
      const track = createPhaseTrack();
      supportPhase(track, phase === 'waiting' ? 'circulating' : 'waiting', 'S1', 0);
      const settleS = PHASES[phase].settleMs / 1000;
      support(track, phase, 'S1', 100, 100 + settleS - 1);
      expect(track.entries.length, phase).toBe(1);
      support(track, phase, 'S1', 100 + settleS, 100 + settleS);
      expect(spell(track).at(-1)).toBe(`${phase} S1 100..NaN`);
    }
  });
});
