import { describe, expect, test } from 'vitest';
import { REFUSALS, refusedPackets } from '../../ingest/wits/refusals.ts';
import { createWitsReader } from '../../ingest/wits/witsReader.ts';
import { CHANNEL_IDS, emptySample, type Sample } from '../../src/channels.ts';
import { latin1 } from './decodeAll.ts';
import { at, depth, packet, readStream, STREAM, times } from './readStream.ts';

describe('time and order', () => {
  /** Stamps in, stamps of samples out, what was refused: the rows are what a rig's clock was seen to do. */
  test.each([
    ['in order', '120000 120001 120002', '120000 120001 120002', {}],
    ['one sample alone', '120000', '120000', {}],
    ['a late packet', '120001 120002 120001 120003', '120001 120002 120003', { 'out of order': 1 }],
    [
      'one stamp hours ahead',
      '120001 120002 180003 120004 120005',
      '120001 120002 120004 120005',
      { 'odd time stamp': 1 },
    ],
    [
      'one stamp minutes ahead',
      '120001 120002 120203 120004 120005',
      '120001 120002 120004 120005',
      { 'odd time stamp': 1 },
    ],
    [
      'one stamp five seconds ahead',
      '120001 120006 120003 120004 120005 120007',
      '120001 120006 120007',
      { 'out of order': 3 },
    ],
    ['the first stamp damaged', '180000 120001 120002', '120001 120002', { 'odd time stamp': 1 }],
    ['one stamp hours back', '120001 120002 090003 120004', '120001 120002 120004', { 'out of order': 1 }],
    ['two stamps back', '120001 120002 090003 090004 120005', '120001 120002 120005', { 'out of order': 2 }],
    ['a gap of two hours', '120001 120002 140000 140001', '120001 120002 140000 140001', {}],
    ['a last stamp hours ahead', '120001 120002 180000', '120001 120002', { 'odd time stamp': 1 }],
    ['a last stamp behind a gap', '120001 120002 120040', '120001 120002 120040', {}],
    ['ten seconds a sample', '120000 120010 120020', '120000 120010 120020', {}],
    ['no such time', '120000 126100 120002', '120000 120002', { 'no time stamp': 1 }],
  ])('%s', (_, stamps, expected, rejected) => {
    const read = readStream([
      stamps
        .split(' ')
        .map((time, i) => depth(time, i))
        .join(''),
    ]);
    expect(times(read).join(' ')).toBe(expected);
    expect(read.counts.rejected).toEqual(rejected);
  });

  test('packets sent again after a new link are repeats, not a clock set back', () => {
    const sent = ['120000', '120001', '120002', '120003', '120015', '120016', '120017', '120018'].map((time, i) =>
      depth(time, i),
    );
    const read = readStream([...sent, ...sent.slice(0, 7), depth('120019', 9)]);
    expect(read.samples.length).toBe(9);
    expect(read.counts.rejected).toEqual({ 'repeated packet': 7 });
  });

  test('a repeated packet is dropped, another reading of the same second too; new items of it go on', () => {
    const same = readStream([
      depth('120000', 1) + depth('120000', 1) + depth('120001', 2) + depth('120001', 2.5) + depth('120002', 3),
    ]);
    expect(same.samples.map((sample) => sample.bitDepth)).toEqual([1, 2, 3]);
    expect(same.counts.rejected).toEqual({ 'repeated packet': 1, 'second packet of one instant': 1 });
    const split = ['120000', '120001', '120002'].map(
      (time, i) => depth(time, i) + packet(...at(1, time), `0121${5000 + i}`),
    );
    const read = readStream(split);
    expect(read.samples.map((sample) => sample.standpipePressure)).toEqual([Number.NaN, 5000, 5001]);
    expect(read.counts.rejected).toEqual({});
  });

  test('two instants in one packet, both marks between them lost', () => {
    const read = readStream([packet(...at(1, '120000'), '01081', ...at(1, '120001'), '01082') + depth('120002', 3)]);
    expect(times(read)).toEqual(['120000', '120001', '120002']);
    expect(read.samples.map((sample) => sample.bitDepth)).toEqual([1, 2, 3]);
  });

  test('a live packet without a stamp is of its arrival; a recorded one is refused', () => {
    const bare = [packet('01081'), packet('01082'), packet('01083')];
    const live = readStream(bare, {}, [1_000_000, 1_000_900, 1_002_000]);
    expect(live.samples.map((sample) => sample.sourceMs)).toEqual([1_000_000, 1_000_900, 1_002_000]);
    expect(readStream(bare).counts.rejected).toEqual({ 'no time stamp': 3 });
    const lost = readStream([depth('120000', 1), depth('120001', 2), packet('01083')], {}, [1e6, 2e6, 3e6]);
    expect(lost.counts.rejected).toEqual({ 'no time stamp': 1 });
  });

  test('a sample is out at the end mark of its packet, without the next one', () => {
    const samples: Sample[] = [];
    const reader = createWitsReader(STREAM, (sample) => samples.push(sample));
    reader.push(latin1(depth('120000', 1) + depth('120001', 2)), 5000);
    reader.push(latin1(depth('120002', 3).slice(0, -3)), 6000);
    expect(samples.length).toBe(2);
    reader.push(latin1('!'), 6001);
    expect(samples.length).toBe(3);
    expect(samples[2]!.arrivalMs).toBe(6001);
  });
});

describe('records beside each other', () => {
  test('the slips flag of record 5 and the tanks of record 11 go into the samples that follow, as long as they are fresh', () => {
    const text = [
      depth('120000', 1),
      packet(...at(5, '120000'), '0513Y'),
      packet(...at(11, '120000'), '111140'),
      ...['120001', '120003', '120005', '120006'].map((time) => depth(time, 2)),
    ];
    const read = readStream(text);
    expect(read.samples.map((sample) => sample.inSlips)).toEqual([Number.NaN, 1, 1, 1, Number.NaN]);
    expect(read.samples.map((sample) => sample.tankVolume)).toEqual([Number.NaN, 40, 40, 40, Number.NaN]);
  });

  test('records of one packet make one sample', () => {
    const read = readStream([packet(...at(1, '120000'), '01081', ...at(5, '120000'), '05130', '0508999')]);
    expect(read.samples.map((sample) => [sample.bitDepth, sample.inSlips])).toEqual([[1, 0]]);
  });

  test('record 5 leads where record 1 is not sent, and hands over when it is', () => {
    const five = (time: string, m: number): string => packet(...at(5, time), `0508${m}`, '051480');
    const read = readStream([
      five('120000', 1) + five('120001', 2) + depth('120002', 3) + five('120002', 99) + depth('120003', 4),
    ]);
    expect(read.samples.map((sample) => sample.bitDepth)).toEqual([1, 2, 3, 4]);
    expect(read.samples[0]!.hookload).toBe(800);
    const silent = readStream([
      depth('120000', 1),
      depth('120001', 2),
      five('120005', 3),
      five('120012', 4),
      five('120013', 5),
    ]);
    expect(silent.samples.map((sample) => sample.bitDepth)).toEqual([1, 2, 4, 5]);
  });

  test('a fallback is used only while the primary item is not delivered', () => {
    const row = (time: string, ...items: string[]): string => packet(...at(1, time), '01081', ...items);
    const read = readStream([
      row('120000', '011480', '011590'),
      row('120001', '0114-999.25', '011591'),
      row('120005', '011592'),
      row('120006', '011593'),
    ]);
    expect(read.samples.map((sample) => sample.hookload)).toEqual([800, Number.NaN, Number.NaN, 930]);
  });

  test('a stream that never says where the string is is led by what it has, after a wait', () => {
    const pressure = (time: string): string => packet(...at(1, time), '01215000');
    const read = readStream(['120000', '120005', '120010', '120011', '120012'].map(pressure));
    expect(times(read)).toEqual(['120010', '120011', '120012']);
  });

  test('order is judged within each record beside, too', () => {
    const tank = (time: string, m3: number): string => packet(...at(11, time), `1111${m3}`);
    const read = readStream([
      depth('120000', 1),
      tank('120001', 40),
      tank('120000', 39),
      tank('120001', 40),
      depth('120001', 2),
    ]);
    expect(read.samples[1]!.tankVolume).toBe(40);
    expect(read.counts.rejected).toEqual({ 'out of order': 1, 'repeated packet': 1 });
  });
});

describe('values', () => {
  test.each([
    ['-999.25', Number.NaN],
    ['-999.2500152587891', Number.NaN],
    ['-9999.0', Number.NaN],
    ['-8888', Number.NaN],
    ['', Number.NaN],
    ['NAN', Number.NaN],
    ['----', Number.NaN],
    ['1e13', Number.NaN],
    ['-999.5', -999.5],
    ['0', 0],
  ])('pressure "%s" is %d, and no refusal', (text, value) => {
    const read = readStream([depth('120000', 1, `0121${text}`)]);
    expect(read.samples[0]!.standpipePressure).toBe(value);
    expect(read.counts.rejected).toEqual({});
  });

  test('the smallest two-byte integer is a null of the items that are such, and of no other', () => {
    const [sample] = readStream([depth('120000', 1, '0120-32768', '0121-32768')]).samples;
    expect([sample!.rotation, sample!.standpipePressure]).toEqual([Number.NaN, -32_768]);
  });

  test.each([
    ['1', 1],
    ['0', 0],
    ['Y', 1],
    ['no', 0],
    ['T', 1],
    ['F', 0],
    ['IN', 1],
    ['out', 0],
    ['I', 1],
    ['O', 0],
    ['2', 1],
    ['??', Number.NaN],
  ])('slips flag "%s"', (text, flag) => {
    const read = readStream([depth('120000', 1, `0513${text}`)]);
    expect(read.samples[0]!.inSlips).toBe(flag);
    expect(read.counts.rejected['unreadable value'] ?? 0).toBe(Number.isNaN(flag) ? 1 : 0);
  });

  test('field units by the item table', () => {
    const [sample] = readStream([depth('120000', 1000, '0114100', '013040', '013312')], { units: 'field' }).samples;
    expect(sample!.bitDepth).toBeCloseTo(304.8, 9);
    expect(sample!.hookload).toBeCloseTo(444.822, 3);
    expect(sample!.flowIn).toBeCloseTo(151.416, 3);
    expect(sample!.temperatureOut).toBeCloseTo(-11.111, 3);
  });

  test('a mapped item is preferred to the default of its channel; an ignored one feeds nothing', () => {
    const text = [depth('120000', 1, '01417', '01215000')];
    const channels = { '0141': { channel: 'standpipePressure', unit: 'bar' } } as const;
    expect(readStream(text, { channels }).samples[0]!.standpipePressure).toBe(700);
    const none = readStream(text, { channels: { '0121': { channel: null } } });
    expect(none.samples[0]!.standpipePressure).toBeNaN();
    expect([...none.counts.unknownCodes.keys()]).toEqual([141]);
  });

  test('a unit that does not fit its channel is one clear fault', () => {
    const channels = { '0114': { channel: 'hookload', unit: 'psi' } } as const;
    expect(() => readStream([], { channels })).toThrow(
      'channels["0114"].unit: found "psi", expected a unit of force for hookload',
    );
  });

  test('every channel comes out under its own name, keys in the order of every sample', () => {
    const channels = Object.fromEntries(CHANNEL_IDS.map((id, i) => [`40${10 + i}`, { channel: id, scale: 1 }]));
    const items = CHANNEL_IDS.map((_, i) => `40${10 + i}${i + 1}`);
    const [sample] = readStream([packet(...at(1, '120000'), ...items)], { channels }).samples;
    expect(Object.keys(sample!)).toEqual(Object.keys(emptySample(0, 0)));
    CHANNEL_IDS.forEach((id, i) => {
      expect(sample![id], id).toBe(id === 'inSlips' ? 1 : i + 1);
    });
  });

  test('unknown codes are bounded', () => {
    const items = Array.from(
      { length: 600 },
      (_, i) => `${30 + Math.floor(i / 90)}${String((i % 90) + 1).padStart(2, '0')}${i}`,
    );
    const { counts } = readStream([depth('120000', 1, ...items)]);
    expect(counts.unknownCodes.size).toBe(500);
    expect(counts.rejected).toEqual({ 'unlisted code': 100 });
  });
});

test('the echo of a request of our own wording is known, a packet of the rig with that item is not taken for it', () => {
  const samples: Sample[] = [];
  const reader = createWitsReader(STREAM, (sample) => samples.push(sample), {
    pollPayload: '&&\r\n0108-8888\r\n!!\r\n',
  });
  for (const text of [packet('01081'), packet('0108-8888'), packet('01082')]) {
    reader.push(latin1(text), 1000 * (samples.length + 1));
  }
  reader.end();
  expect(samples.map((sample) => sample.bitDepth)).toEqual([1, 2]);
  expect(reader.counts.rejected).toEqual({ 'echo of our poll': 1 });
});

test('every reason says itself in a sentence; only lost packets count as such', () => {
  for (const [reason, refusal] of Object.entries(REFUSALS)) expect(refusal.says, reason).toMatch(/^[A-Z].*\.$/);
  expect(refusedPackets({ noise: 500, 'repeated packet': 2, 'no trailer': 7, 'out of order': 1 })).toBe(3);
});
