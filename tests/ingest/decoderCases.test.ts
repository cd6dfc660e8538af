/** One fixture for each way in which a WITS level 0 stream is known to be odd. */
import { describe, expect, test } from 'vitest';
import { accounted, decodeAll } from './decodeAll.ts';
import { at, depth, packet, readStream, times } from './readStream.ts';

const values = (chunks: string[]): (string | number)[][] =>
  decodeAll(chunks).packets.map((each) =>
    each.items.map((item) => `${item.code}=${Number.isNaN(item.value) ? item.text : item.value}`),
  );

describe('the decoder', () => {
  test('1 packets split over chunks, within marks too, and several in one chunk', () => {
    const chunks = ['noise&', '&\r\n010812.3\r\n!', '!\r\n&&0208100!!tail'];
    expect(values(chunks)).toEqual([['108=12.3'], ['208=100']]);
    expect(decodeAll(chunks).decoder.refusedBytes.noise).toBe('noise'.length + 'tail'.length);
    expect(values([packet('01081'), packet('01082') + packet('01083')])).toEqual([['108=1'], ['108=2'], ['108=3']]);
  });

  test('2 noise before, between and behind packets is counted byte for byte', () => {
    const text = `modem ok\r\n${packet('01081')}\x00\x01#!!${packet('01082')}\r\n \r\nrest`;
    const { packets, decoder } = decodeAll([text]);
    expect(packets.length).toBe(2);
    expect(decoder.refusedBytes.noise).toBe('modemok'.length + 3 + 2 + 'rest'.length);
    expect(accounted(decoder)).toBe(text.length);
  });

  test('3 everything on one line', () => {
    expect(values(['&&0208100!!'])).toEqual([['208=100']]);
    expect(values(['&&01081.5\r\n01102\r\n!!'])).toEqual([['108=1.5', '110=2']]);
  });

  test('4 a blank between code and value', () => {
    expect(values([packet('0108 2214.3', '0113\t22.5 ')])).toEqual([['108=2214.3', '113=22.5']]);
  });

  test('5 no trailer: whole lines are kept, a line that runs into the next mark is not', () => {
    const { packets, decoder } = decodeAll([
      '&&\r\n01081\r\n0110200\r\n&&\r\n01083\r\n!!\r\n&&\r\n01084\r\n01102&&\r\n01085\r\n!!',
    ]);
    expect(packets.map((each) => each.items.map((item) => item.value))).toEqual([[1, 200], [3], [4], [5]]);
    expect(packets.map((each) => each.endedBy)).toEqual(['next packet', 'trailer', 'next packet', 'trailer']);
    expect(decoder.counts['no trailer']).toBe(2);
    expect(decoder.counts['cut line']).toBe(1);
  });

  test('5 no trailer at the end of the stream: the last line counts only when it has its end', () => {
    expect(values(['&&\r\n01081\r\n01102'])).toEqual([['108=1']]);
    expect(values(['&&\r\n01081\r\n01102\r\n'])).toEqual([['108=1', '110=2']]);
  });

  test('6 an endless packet is dropped, the next one is read', () => {
    const { packets, decoder } = decodeAll([`&&\r\n${'0108 1234.5\r\n'.repeat(50_000)}${packet('01087')}`]);
    expect(packets.map((each) => each.items.length)).toEqual([1]);
    expect(decoder.counts['packet too long']).toBe(1);
    expect(decoder.counts.noise).toBe(0);
  });

  test.each([
    ['CR', '\r'],
    ['LF', '\n'],
    ['CR LF', '\r\n'],
  ])('7 lines that end in %s', (_, eol) => {
    expect(values([['&&', '01081.5', '0110W', '!!', ''].join(eol)])).toEqual([['108=1.5', '110=W']]);
  });

  test('7 mixed line ends and blank lines', () => {
    expect(values(['&&\n01081\r01102\r\n\r\n01123\n\r!!'])).toEqual([['108=1', '110=2', '112=3']]);
  });

  test('8 an end mark in the noise does not cut the packet behind it', () => {
    expect(values([`12!!34\n&&\n01081\n!!\n`])).toEqual([['108=1']]);
  });

  test('18 text on a number, five digits, letters in the code, an empty value', () => {
    const { packets, decoder } = decodeAll([
      packet('0108abc', '01081 7', '01A85', '0110', '00015', '0112.', '01131,5'),
    ]);
    expect(packets[0]!.items).toEqual([
      { code: 108, value: Number.NaN, text: 'abc' },
      { code: 108, value: Number.NaN, text: '1 7' },
      { code: 110, value: Number.NaN, text: '' },
      { code: 112, value: Number.NaN, text: '.' },
      { code: 113, value: Number.NaN, text: '1,5' },
    ]);
    expect(decoder.counts['malformed line']).toBe(2);
  });

  test('a mark or nothing between marks is an empty packet', () => {
    const { packets, decoder } = decodeAll(['&&\r\n!!\r\n&&&&\r\n01081\r\n!!']);
    expect(packets.length).toBe(1);
    expect(decoder.counts['empty packet']).toBe(2);
  });

  test('a line beyond any item is refused, the rest of its packet is kept', () => {
    const { packets, decoder } = decodeAll([
      packet('01081', `2210${'x'.repeat(2000)}`, `0112${'1'.repeat(1500)}`, '01102'),
    ]);
    expect(packets[0]!.items.map((item) => item.code)).toEqual([108, 110]);
    expect(decoder.counts['line too long']).toBe(2);
  });
});

describe('the reader', () => {
  test('9 a record stamped ahead does not disturb the one that leads', () => {
    const gas = (time: string): string => packet(...at(12, time), '12125');
    const read = readStream([
      gas('120003') + depth('120001', 10) + gas('120004') + depth('120002', 11) + gas('120005') + depth('120003', 12),
    ]);
    expect(times(read)).toEqual(['120001', '120002', '120003']);
    expect(read.counts.rejected).toEqual({});
  });

  test('10 gaps of seconds and minutes stay gaps', () => {
    const read = readStream([
      depth('120000', 1) + depth('120002', 2) + depth('120047', 3) + depth('120623', 4) + depth('120624', 5),
    ]);
    expect(times(read)).toEqual(['120000', '120002', '120047', '120623', '120624']);
  });

  test('11 a stream runs over midnight, with or without the date', () => {
    const bare = (time: string, m: number): string => packet(`0106${time}`, `0108${m}`);
    const read = readStream([depth('235958', 1) + bare('235959', 2) + bare('000000', 3) + bare('000001', 4)]);
    expect(times(read)).toEqual(['235958', '235959', '2031-03-05 000000', '2031-03-05 000001']);
    const dated = readStream([depth('235959', 1) + packet(...at(1, '000000', '310305'), '01082')]);
    expect(times(dated)).toEqual(['235959', '2031-03-05 000000']);
  });

  test('11 a clock set back for good does not end the run: its time goes on', () => {
    const read = readStream([
      ['120000', '120001', '120002', '110003', '110004', '110005', '110006'].map((time, i) => depth(time, i)).join(''),
    ]);
    expect(times(read)).toEqual(['120000', '120001', '120002', '120003', '120004', '120005', '120006']);
    expect(read.samples.map((sample) => sample.bitDepth)).toEqual([0, 1, 2, 3, 4, 5, 6]);
    expect(read.counts.rejected).toEqual({ 'clock step': 1 });
  });

  test('11 a clock set back and forward again: run time and source time agree again', () => {
    const stamps = ['120000', '120001', '110002', '110003', '110004', '120005', '120006'];
    expect(times(readStream([stamps.map((time, i) => depth(time, i)).join('')]))).toEqual([
      '120000',
      '120001',
      '120002',
      '120003',
      '120004',
      '120005',
      '120006',
    ]);
  });

  test('12, 14 frozen values and an average equal to its maximum are values like any other', () => {
    const read = readStream([...Array(5).keys()].map((i) => depth(`12000${i}`, 5, '011480', '011580')));
    expect(read.samples.map((sample) => [sample.bitDepth, sample.hookload])).toEqual(Array(5).fill([5, 800]));
  });

  test('13 an encoder wrap is passed on as it is: the pipeline judges it', () => {
    const read = readStream([depth('120000', 3883.2, '0112-2.2') + depth('120001', 3823.7, '011257.4')]);
    expect(read.samples.map((sample) => [sample.bitDepth, sample.blockPosition])).toEqual([
      [3883.2, -2.2],
      [3823.7, 57.4],
    ]);
  });

  test('15 each item has its own unit', () => {
    const channels = {
      '0114': { channel: 'hookload', unit: 'klbf' },
      '0118': { channel: 'torque', unit: 'ft·lbf' },
      '0121': { channel: 'standpipePressure', unit: 'psi' },
      '0132': { channel: 'densityIn', unit: 'lb/ft³' },
    } as const;
    const text = depth('120000', 1000, '0114200', '01188000', '01212500', '013271.08', '013340');
    const [sample] = readStream([text], { channels }).samples;
    expect(sample!.bitDepth).toBe(1000);
    expect(sample!.hookload).toBeCloseTo(889.644, 3);
    expect(sample!.torque).toBeCloseTo(10.8465, 3);
    expect(sample!.standpipePressure).toBeCloseTo(17_236.9, 1);
    expect(sample!.densityIn).toBeCloseTo(1138.6, 1);
    expect(sample!.temperatureOut).toBe(40);
  });

  test('16, 17 spare, unknown and custom items are kept raw and counted; a map gives them a channel', () => {
    const text = depth('120000', 1, '0141007', '0150abc', '60013.50') + depth('120001', 2, '01418');
    const read = readStream([text], { channels: { '0144': { channel: null } } });
    expect([...read.counts.unknownCodes]).toEqual([
      [141, { count: 2, last: '8' }],
      [150, { count: 1, last: 'abc' }],
      [6001, { count: 1, last: '3.50' }],
    ]);
    const mapped = readStream([text], { channels: { '6001': { channel: 'annulusPressure', unit: 'bar', scale: 2 } } });
    expect(mapped.samples[0]!.annulusPressure).toBe(700);
  });

  test('18 text on a mapped number is no value, and is counted', () => {
    const read = readStream([depth('120000', 'abc', '0112NAN', '0114', '01181e308', '0121Infinity', '01301 5')]);
    const { bitDepth, blockPosition, hookload, torque, standpipePressure, flowIn } = read.samples[0]!;
    expect([bitDepth, blockPosition, hookload, torque, standpipePressure, flowIn]).toEqual(Array(6).fill(Number.NaN));
    expect(read.counts.rejected).toEqual({ 'unreadable value': 2 });
  });

  test('19 the echo of our own request is no frame of the rig', () => {
    const echo = '&&\r\n0111-9999\r\n!!\r\n';
    const named = '&&\r\n1984floor\r\n0111-9999\r\n!!\r\n';
    const read = readStream(
      [depth('120000', 1), echo, depth('120001', 2), named, depth('120002', 3)],
      {},
      Array(5).fill(1e12),
    );
    expect(read.samples.length).toBe(3);
    expect(read.counts.rejected).toEqual({ 'echo of our poll': 2 });
  });
});
