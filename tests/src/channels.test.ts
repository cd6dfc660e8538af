/** The table of channels: one order everywhere, each fed by a source. */
import { describe, expect, it } from 'vitest';
import { CHANNEL_IDS, CHANNEL_INDEX, CHANNELS, emptySample } from '../../src/channels.ts';
import { QUANTITIES } from '../../src/units.ts';
import { sourceFiles, withoutComments } from './sourceText.ts';

describe('the channels', () => {
  it('a sample has its two times and every channel, in the order of the table, nothing known', () => {
    const sample = emptySample(1000, 2000);
    expect(Object.keys(sample)).toEqual(['sourceMs', 'arrivalMs', ...CHANNEL_IDS]);
    expect([sample.sourceMs, sample.arrivalMs]).toEqual([1000, 2000]);
    for (const id of CHANNEL_IDS) expect(sample[id], id).toBeNaN();
  });

  it('are numbered in that order', () => {
    expect(CHANNEL_IDS.map((id) => CHANNEL_INDEX[id])).toEqual(CHANNEL_IDS.map((_id, i) => i));
  });

  it.each(CHANNEL_IDS)('%s has a quantity and a label of its own', (id) => {
    expect(QUANTITIES).toContain(CHANNELS[id].quantity);
    expect(CHANNEL_IDS.filter((other) => CHANNELS[other].label === CHANNELS[id].label)).toEqual([id]);
  });

  it('are each fed by some item of a source', () => {
    const readers = sourceFiles('ingest').map((file) => withoutComments(file.text));
    const unfed = CHANNEL_IDS.filter((id) => !readers.some((text) => new RegExp(`\\b${id}\\b`).test(text)));
    expect(unfed).toEqual([]);
  });
});
