import { describe, expect, test } from 'vitest';
import { type DirtRates, NO_DIRT, spoil, USUAL_DIRT, withItem } from '../../ingest/simulator/dirt.ts';
import { type StreamFrame, streamBytes } from '../../ingest/simulator/tripStream.ts';

const START_MS = Date.UTC(2031, 2, 4);
const FRAMES: StreamFrame[] = Array.from({ length: 2000 }, (_, i) => ({
  sourceMs: START_MS + i * 1000,
  packets: [`&&\r\n0104${i}\r\n0108${(2400 + i / 100).toFixed(2)}\r\n011220.00\r\n01219000\r\n!!\r\n`],
}));
const dirty = (rates: Partial<DirtRates>, seed = 1) => spoil(FRAMES, seed, { ...NO_DIRT, ...rates }, { perMetre: 1 });
const changed = (frames: readonly StreamFrame[]) => {
  const clean = new Set(FRAMES.map((frame) => frame.packets.join('')));
  return frames.filter((frame) => !clean.has(frame.packets.join('')));
};
const depth = (frame: StreamFrame) => Number(/\n0108([-\d.]*)/.exec(frame.packets[0]!)?.[1]);

describe('dirt', () => {
  test('none leaves the stream as it is', () => {
    expect(streamBytes(dirty({}))).toEqual(streamBytes(FRAMES));
  });

  test('the same seed spoils in the same way, another in another', () => {
    expect(streamBytes(dirty(USUAL_DIRT))).toEqual(streamBytes(dirty(USUAL_DIRT)));
    expect(streamBytes(dirty(USUAL_DIRT))).not.toEqual(streamBytes(dirty(USUAL_DIRT, 2)));
  });

  test('lost frames are never more than two together', () => {
    const sent = dirty({ lostFrame: 0.5 });
    expect(sent.length).toBeLessThan(FRAMES.length * 0.7);
    const steps = sent.slice(1).map((frame, i) => frame.sourceMs - sent[i]!.sourceMs);
    expect(Math.max(...steps)).toBe(3000);
  });

  test('an encoder wrap moves block and bit 59.6 m apart for 20 s and back', () => {
    const wrong = changed(dirty({ encoderWraps: 1 }));
    expect(wrong).toHaveLength(20);
    for (const frame of wrong) {
      const i = (frame.sourceMs - START_MS) / 1000;
      expect(depth(frame)).toBeCloseTo(2400 + i / 100 - 59.6, 6);
      expect(frame.packets[0]).toContain('\n011279.60\r');
    }
  });

  test('a depth spike is one frame long and 5 to 60 m high', () => {
    const wrong = changed(dirty({ depthSpike: 0.01 }));
    expect(wrong.length).toBeGreaterThan(5);
    for (const frame of wrong) {
      const off = Math.abs(depth(frame) - 2400 - (frame.sourceMs - START_MS) / 100_000);
      expect(off).toBeGreaterThan(4.9);
      expect(off).toBeLessThan(60.1);
    }
  });

  test.each([
    ['repeatedPacket', /&&[\s\S]*&&/],
    ['otherLineEnd', /^&&(\n|\r(?!\n))/],
    ['noiseBetween', /[\s\S]&&\r\n0104/],
    ['nullItem', /-9999|-999\.25|\n01\d\d\r|^(?![\s\S]*0108)|^(?![\s\S]*0112)|^(?![\s\S]*0121)/],
    ['record12', /!!\r\n&&\r\n1205310304\r\n/],
    ['pressureSpike', /\n0121(0|27000)\r/],
  ] as const)('%s shows in the frames that it spoils and in no others', (kind, looks) => {
    const wrong = changed(dirty({ [kind]: 0.1 }));
    expect(wrong.length).toBeGreaterThan(100);
    expect(wrong.length).toBeLessThan(300);
    for (const frame of wrong) expect(frame.packets.join('')).toMatch(looks);
  });

  test('a lost trailer leaves the packet open; noise inside stays on lines of its own', () => {
    for (const frame of changed(dirty({ lostTrailer: 0.1 }))) expect(frame.packets[0]).not.toContain('!!');
    for (const frame of changed(dirty({ noiseInside: 0.1 }))) {
      const lines = frame.packets[0]!.split('\r\n');
      expect(lines).toHaveLength(8);
      expect(
        FRAMES[(frame.sourceMs - START_MS) / 1000]!.packets[0]!.split('\r\n').every((l) => lines.includes(l)),
      ).toBe(true);
    }
  });

  test('out of order frames keep all frames', () => {
    const sent = dirty({ outOfOrder: 0.1 });
    expect(sent).not.toEqual(FRAMES);
    expect([...sent].sort((a, b) => a.sourceMs - b.sourceMs)).toEqual(FRAMES);
  });

  test('an item is replaced or taken out, and a packet without it stays', () => {
    const packet = '&&\r\n01081.50\r\n01122.00\r\n!!\r\n';
    expect(withItem(packet, '0108', (v) => (v * 2).toFixed(1))).toBe('&&\r\n01083.0\r\n01122.00\r\n!!\r\n');
    expect(withItem(packet, '0108', () => null)).toBe('&&\r\n01122.00\r\n!!\r\n');
    expect(withItem(packet, '0130', () => '1')).toBe(packet);
  });
});
