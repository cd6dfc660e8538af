/** The table of phases: those promised, each chosen somewhere. */
import { describe, expect, it } from 'vitest';
import { PHASE_NAMES, PHASES } from '../../src/phases.ts';
import { filesThatSay, sourceFiles } from './sourceText.ts';

const PROMISED = [
  'no data',
  'waiting',
  'circulating',
  'running in',
  'making connection',
  'setting hanger',
  'testing hanger',
  'releasing',
  'tagging depth',
  'expanding isolation',
  'expanding screen',
  'crossing connection',
  'passing blank',
  'stalled',
  'picking up',
  'pulling out',
];
describe('the phases', () => {
  it('are those that the record promises, in the order of a trip', () => {
    expect(PHASE_NAMES).toEqual(PROMISED);
  });

  it('are all chosen by the pipeline', () => {
    const files = sourceFiles('src/pipeline');
    expect(PHASE_NAMES.filter((name) => filesThatSay(files, name).length === 0)).toEqual([]);
  });

  it.each(PHASE_NAMES)('%s settles within 15 s and says what it is', (name) => {
    expect(PHASES[name].settleMs).toBeGreaterThanOrEqual(0);
    expect(PHASES[name].settleMs).toBeLessThanOrEqual(15_000);
    expect(PHASES[name].says).toMatch(/^[A-Z].*\.$/);
  });
});
