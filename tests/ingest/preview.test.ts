import { readFile } from 'node:fs/promises';
import { expect, test } from 'vitest';
import { preview } from '../../ingest/preview.ts';
import { emptySample, type Sample } from '../../src/channels.ts';
import { csvText, lasText, MNEMONIC_COLUMNS, witsmlText } from '../support/tableWriters.ts';
import { at, packet, STREAM } from './readStream.ts';

const NOON = Date.UTC(2031, 2, 4, 12);
const SAMPLES: Sample[] = Array.from({ length: 3 }, (_, i) =>
  Object.assign(emptySample(NOON + i * 1000, NOON + i * 1000), { bitDepth: 1000 + i, standpipePressure: 18_000 }),
);
const COLUMNS = MNEMONIC_COLUMNS.filter(({ name }) => name === 'DBTM' || name === 'SPPA');

test.each([
  ['csv', csvText(SAMPLES, { columns: COLUMNS }), 'Time', ''],
  ['las', lasText(SAMPLES, false, COLUMNS), 'TIME', 'S'],
  ['witsml', witsmlText(SAMPLES, { columns: COLUMNS }), 'TIME', ''],
] as const)('%s: format, columns with channels and units, span, rows', (format, text, time, timeUnit) => {
  const { columns, ...rest } = preview(Buffer.from(text), STREAM);
  expect(columns).toEqual([
    { name: time, unit: timeUnit, feeds: 'time', unitFrom: 'file' },
    { name: 'DBTM', unit: 'm', feeds: 'bitDepth', unitFrom: 'file' },
    { name: 'SPPA', unit: 'kPa', feeds: 'standpipePressure', unitFrom: 'file' },
  ]);
  expect(rest).toEqual({
    format,
    refusal: null,
    firstMs: NOON,
    lastMs: NOON + 2000,
    rows: 3,
    samples: 3,
    values: { bitDepth: 3, standpipePressure: 3 },
    notes: [],
    rejected: {},
    notUnderstood: [],
  });
});

test('a WITS stream: the items that came, and those that feed nothing', () => {
  const text = ['120000', '120001'].map((time) => packet(...at(1, time), '01081000', '0121900', '01407')).join('');
  const found = preview(Buffer.from(text), STREAM);
  expect(found).toMatchObject({ format: 'wits0', firstMs: NOON, lastMs: NOON + 1000, rows: 2, samples: 2 });
  expect(found.columns.map(({ name, unit, feeds }) => [name, unit, feeds])).toEqual([
    ['0108 DBTM', 'm', 'bitDepth'],
    ['0121 SPPA', 'kPa', 'standpipePressure'],
  ]);
  expect(found.notUnderstood).toEqual([{ name: '0140', count: 2, last: '7' }]);
});

test('the demo stream', async () => {
  const { format, samples, rows, refusal } = preview(await readFile('replay-data/demo.wits'), STREAM);
  expect([format, refusal]).toEqual(['wits0', null]);
  expect(samples).toBeGreaterThan(3000);
  expect(rows).toBeGreaterThanOrEqual(samples);
});

test('what is not understood, with the reason where a unit is why', () => {
  const text = 'Time;SPP (m);Remark\n2031-03-04T12:00:00Z;1;=1+1\n2031-03-04T12:00:01Z;2;"a;b"\nx;3;c\n';
  const { notUnderstood, notes, rejected, columns } = preview(Buffer.from(text), STREAM);
  expect(notUnderstood).toEqual([
    { name: 'SPP', count: 2, last: '2' },
    { name: 'Remark', count: 2, last: 'a;b' },
  ]);
  expect(notes).toEqual(['"SPP" is not read: found the unit "m", expected one of pressure']);
  expect(rejected).toEqual({ 'unreadable time': 1 });
  expect(columns.map(({ feeds }) => feeds)).toEqual(['time', null, null]);
});

test('units that are assumed and units of the map are told apart', () => {
  const text = 'Time,SPP,Torque (ft·lbf)\n2031-03-04T12:00:00Z,1,2\n';
  const channels = { Torque: { channel: 'torque', unit: 'kN·m' } } as const;
  const { columns } = preview(Buffer.from(text), { ...STREAM, units: 'field', channels });
  expect(columns.slice(1)).toEqual([
    { name: 'SPP', unit: 'psi', feeds: 'standpipePressure', unitFrom: 'assumed' },
    { name: 'Torque', unit: 'kN·m', feeds: 'torque', unitFrom: 'map' },
  ]);
});

test('a format that is not known, and one that is forced', () => {
  const bytes = Buffer.from('a;b\n1;2\n');
  expect(preview(bytes, STREAM)).toMatchObject({ format: null, refusal: 'found a format that is not known', rows: 0 });
  expect(preview(bytes, STREAM, 'csv').refusal).toMatch(/^line 1: found "a;b", expected a header with a time column/);
});
