/** WITSML 1.4.1.1, data object `log`: what its schema says, and what servers make of it. */
import * as fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { XML_LIMITS } from '../../ingest/witsml/xmlGuard.ts';
import { witsmlText } from '../support/tableWriters.ts';
import { cutAt, readTable } from './readTable.ts';
import { sampleRows } from './sampleRows.ts';

const XMLNS = 'http://www.witsml.org/schemas/1series';

interface Log {
  readonly name?: string;
  readonly indexType?: string;
  readonly index?: string;
  readonly head?: string;
  readonly mnemonics?: string;
  readonly units?: string;
  readonly rows?: readonly string[];
}

const at = (s: number): string => `2031-03-04T12:00:${String(s).padStart(2, '0')}.0000000+00:00`;
const ROWS = [`${at(0)},1,10`, `${at(1)},2,20`, `${at(2)},3,30`];

const data = (rows: readonly string[], mnemonics: string, units: string): string =>
  `<logData><mnemonicList>${mnemonics}</mnemonicList><unitList>${units}</unitList>${rows.map((row) => `<data>${row}</data>`).join('\n')}</logData>`;

const log = (of: Log = {}): string => {
  const { name = 'By time', indexType = 'date time', index = 'TIME', head = '', rows = ROWS } = of;
  const { mnemonics = 'TIME,SPPA,HKLA', units = ',kPa,kN' } = of;
  return (
    `<log uidWell="w" uidWellbore="b" uid="l"><nameWell>W</nameWell><name>${name}</name><indexType>${indexType}</indexType>` +
    `<indexCurve>${index}</indexCurve>${head}${data(rows, mnemonics, units)}</log>`
  );
};
const logs = (content: string, attributes = `xmlns="${XMLNS}" version="1.4.1.1"`): string =>
  `<?xml version="1.0" encoding="UTF-8"?>\n<logs ${attributes}>\n${content}\n</logs>`;

const read = (text: string) => readTable('witsml', text);
const pressures = (text: string): number[] => read(text).samples.map(({ standpipePressure }) => standpipePressure);

describe('a log', () => {
  it.each([
    ['as it is', logs(log())],
    [
      'with a prefix',
      logs(log()).replaceAll('<', '<w:').replaceAll('<w:/', '</w:').replace('<w:?', '<?').replace('xmlns=', 'xmlns:w='),
    ],
    [
      'without unitList, units of the curves',
      logs(
        log({
          head: '<logCurveInfo uid="a"><mnemonic>SPPA</mnemonic><unit>kPa</unit></logCurveInfo>',
          units: '',
        }),
      ),
    ],
    [
      'with elements of others',
      logs(
        log({
          head: '<x:y xmlns:x="urn:x"><x:data>7</x:data></x:y><commonData><comments>data</comments></commonData>',
        }),
      ),
    ],
    [
      'with CDATA, comments and references',
      logs(
        log({
          rows: [
            `<![CDATA[${ROWS[0]}]]>`,
            `${ROWS[1]!.slice(0, 9)}<!-- x -->${ROWS[1]!.slice(9)}`,
            ROWS[2]!.replace('3', '&#51;'),
          ],
        }),
      ),
    ],
    [
      'in two blocks',
      logs(
        log({ rows: ROWS.slice(0, 1) }).replace('</log>', `${data(ROWS.slice(1), 'TIME,SPPA,HKLA', ',kPa,kN')}</log>`),
      ),
    ],
    ['with rows newest first', logs(log({ head: '<direction>decreasing</direction>', rows: [...ROWS].reverse() }))],
    ['with rows that were sent twice', logs(log({ rows: [ROWS[0]!, ROWS[1]!, ROWS[1]!, ROWS[2]!] }))],
  ])('%s', (_, text) => expect(pressures(text)).toEqual([1, 2, 3]));

  it('an empty cell is a null; the null of a curve wins over that of the log', () => {
    const head =
      '<nullValue>-7</nullValue><logCurveInfo uid="a"><mnemonic>SPPA</mnemonic><nullValue>-8</nullValue></logCurveInfo>';
    const { samples, counts } = read(logs(log({ head, rows: [`${at(0)},-8,-7`, `${at(1)},,-8`, `${at(2)},-7,30`] })));
    expect(samples.map(({ standpipePressure }) => standpipePressure)).toEqual([Number.NaN, Number.NaN, -7]);
    expect(samples.map(({ hookload }) => hookload)).toEqual([Number.NaN, -8, 30]);
    expect(counts.rejected).toEqual({});
  });

  it('units as servers write them: kkgf, 1/s, m3/min, degC, Euc', () => {
    const mnemonics = 'TIME,HKLA,RPMA,MFIA,MTIA,MFOP';
    const rows = [`${at(0)},1,2,3,4,0.5`, `${at(1)},1,2,3,4,0.5`];
    const [first] = read(logs(log({ mnemonics, units: ',kkgf,1/s,m3/min,degC,Euc', rows }))).samples;
    // 1 kgf is 9.80665 N exactly (NIST SP 811).
    expect(first).toMatchObject({ hookload: 9.80665, rotation: 120, flowIn: 3000, temperatureIn: 4, flowOutShare: 50 });
  });

  it('two curves of one quantity: the one that is known by name, the other is listed', () => {
    const { samples, counts } = read(logs(log({ mnemonics: 'TIME,GS_SPPA,SPPA', units: ',kPa,kPa' })));
    expect(samples.map(({ standpipePressure }) => standpipePressure)).toEqual([10, 20, 30]);
    expect(counts.unknownCodes.get('GS_SPPA')).toEqual({ count: 3, last: '3' });
  });

  it('of several logs the first by time that has rows, and it is said', () => {
    const depth = log({ name: 'By depth', indexType: 'measured depth', rows: ['1,2,3'] });
    const empty = log({ name: 'Empty', rows: [] });
    const other = log({ name: 'Later', rows: [`${at(9)},9,9`] });
    const found = read(logs(depth + empty + log() + other));
    expect(found.samples.map(({ standpipePressure }) => standpipePressure)).toEqual([1, 2, 3]);
    expect(found.counts.rejected).toEqual({ 'row of another log': 2 });
    expect(found.notes).toContain(
      '4 logs in the file, the first by time is read; not read: "By depth", "Empty", "Later"',
    );
  });

  it('rows that do not fit', () => {
    const { counts } = read(logs(log({ rows: [...ROWS, `${at(3)},1`, `${at(4)},1,2,3`, 'x,1,2', `${at(5)},=1,2`] })));
    expect(counts.rejected).toEqual({ 'ragged row': 2, 'unreadable time': 1, 'unreadable value': 1 });
    expect(counts.frames).toBe(7);
  });

  it('broken off in the middle: what came before it stands, and it is said', () => {
    const whole = logs(log());
    const { samples, counts, refusal } = read(whole.slice(0, whole.indexOf(ROWS[2]!)));
    expect(samples.length).toBe(2);
    expect(counts.rejected).toEqual({ 'broken off': 1 });
    expect(refusal).toMatch(/^line \d+: found .*, expected well-formed XML$/);
  });
});

const LAUGHS = `<?xml version="1.0"?><!DOCTYPE logs [<!ENTITY a0 "lol">${Array.from({ length: 9 }, (_, i) => `<!ENTITY a${i + 1} "${`&a${i};`.repeat(10)}">`).join('')}]>`;

describe('refused in one line', () => {
  const root = `<logs xmlns="${XMLNS}" version="1.4.1.1">`;
  it.each([
    [
      'billion laughs',
      `${LAUGHS}${root}${log({ name: '&a9;' })}</logs>`,
      /found a document type \(DOCTYPE\), expected none$/,
    ],
    [
      'quadratic blow-up',
      `<!DOCTYPE logs [<!ENTITY a "${'a'.repeat(50_000)}">]>${root}${log({ name: '&a;'.repeat(50_000) })}</logs>`,
      /DOCTYPE/,
    ],
    [
      'an external entity',
      `<!DOCTYPE logs [<!ENTITY x SYSTEM "file:///etc/passwd">]>${root}${log({ name: '&x;' })}</logs>`,
      /DOCTYPE/,
    ],
    ['an external document type', `<!DOCTYPE logs SYSTEM "http://127.0.0.1:9/x.dtd">${root}${log()}</logs>`, /DOCTYPE/],
    [
      'a document type without an end',
      `<!DOCTYPE logs [${'<!ENTITY a "b">'.repeat(100_000)}`,
      /found markup or text of more than 262144 characters/,
    ],
    [
      'an entity that is not declared',
      logs(log({ name: '&x;' })),
      /found undefined entity\., expected well-formed XML$/,
    ],
    ['200,000 deep', `${root}${'<a>'.repeat(200_000)}`, /^line 1: found elements 65 deep, expected at most 64$/],
    [
      'an attribute of 1 MB',
      `${root}<log a="${'x'.repeat(1_000_000)}"/></logs>`,
      /found markup or text of more than 262144 characters/,
    ],
    [
      '10,000 attributes',
      `${root}<log ${Array.from({ length: 10_000 }, (_, i) => `a${i}=""`).join(' ')}/></logs>`,
      /found more than 256 attributes of one element, expected fewer$/,
    ],
    [
      'a text of 1 MB',
      logs(log({ name: 'x'.repeat(1_000_000) })),
      /found markup or text of more than 262144 characters/,
    ],
    [
      'a text of 1 MB in pieces',
      logs(log({ name: 'x<!-- -->'.repeat(300_000) })),
      /found text of more than 262144 characters/,
    ],
    [
      'a name of 1 MB',
      `${root}<${'x'.repeat(1_000_000)}/></logs>`,
      /found markup or text of more than 262144 characters/,
    ],
    [
      'a comment of 1 MB',
      `${root}<!-- ${'x'.repeat(1_000_000)} --></logs>`,
      /found markup or text of more than 262144 characters/,
    ],
    [
      'another namespace',
      logs(log(), 'xmlns="urn:x" version="1.4.1.1"'),
      /^line 2: found the root "logs" of "urn:x", expected logs of/,
    ],
    ['no namespace', logs(log(), 'version="1.4.1.1"'), /found the root "logs" of "", expected logs of/],
    ['another root', `<wells xmlns="${XMLNS}" version="1.4.1.1"/>`, /found the root "wells"/],
    [
      'another version',
      logs(log(), `xmlns="${XMLNS}" version="1.3.1.1"`),
      /found version "1\.3\.1\.1", expected 1\.4\.1\.1$/,
    ],
    [
      'no log by time',
      logs(log({ indexType: 'measured depth' })),
      /^found 1 logs and none by time that has rows, expected one$/,
    ],
    ['no rows', logs(log({ rows: [] })), /^found 1 logs and none by time that has rows, expected one$/],
    [
      'no index in the list',
      logs(log({ index: 'RIGTIME' })),
      /^log "By time": found no "RIGTIME" \(indexCurve\) in mnemonicList/,
    ],
    ['no list', logs(log({ mnemonics: '' })), /found 0 names in mnemonicList, expected two or more$/],
    ['units for other names', logs(log({ units: 'kPa' })), /found 1 units for 3 names, expected one each/],
    [
      'too many names',
      logs(log({ mnemonics: `TIME${',a'.repeat(10_000)}`, units: '' })),
      /found more than 4096 names in mnemonicList/,
    ],
    [
      'a strange delimiter',
      logs(log({ head: '<dataDelimiter>||</dataDelimiter>' })),
      /found dataDelimiter "\|\|", expected a comma/,
    ],
    ['no XML', 'nothing', /expected well-formed XML$/],
    ['nothing', '', /expected well-formed XML$/],
  ])('%s', (_, text, line) => {
    const { refusal, samples, counts } = read(text);
    expect(refusal).toMatch(line);
    expect(refusal).not.toContain('\n');
    expect(samples).toEqual([]);
    expect(counts.rejected['broken off']).toBe(1);
    expect(counts.bytes).toBe(Buffer.byteLength(text));
  });
});

describe('encodings', () => {
  const text = logs(log({ mnemonics: 'TIME,MTIA,HKLA', units: ',°C,kN' }));
  it.each([
    ['UTF-8', Buffer.from(text)],
    ['UTF-8 with its mark', Buffer.from(`\uFEFF${text}`)],
    ['Latin-1 that says UTF-8', Buffer.from(text, 'latin1')],
    ['UTF-16', Buffer.from(`\uFEFF${text}`, 'utf16le')],
    ['UTF-16, big endian', Buffer.from(`\uFEFF${text}`, 'utf16le').swap16()],
    ['a reference', Buffer.from(text.replace('°', '&#176;'))],
  ])('%s', (_, bytes) => {
    const whole = readTable('witsml', [bytes]);
    expect(whole.samples.map(({ temperatureIn }) => temperatureIn)).toEqual([1, 2, 3]);
    expect(
      readTable(
        'witsml',
        [...bytes].map((byte) => Uint8Array.of(byte)),
      ),
    ).toEqual(whole);
  });
  it('zero bytes end the reading', () => expect(read(logs(`\0${log()}`)).refusal).toMatch(/disallowed character/));
});

test('a row as long as the limit is none of a log: the cap is on markup of any kind', () => {
  const rows = [ROWS[0]!, `${at(1)},2,${' '.repeat(XML_LIMITS.characters)}`];
  expect(read(logs(log({ rows }))).refusal).toMatch(/found markup or text of more than/);
});

test('chunks cut anywhere give the same samples, counts and notes', () => {
  fc.assert(
    fc.property(sampleRows, fc.boolean(), fc.array(fc.nat()), (rows, newestFirst, places) => {
      const bytes = Buffer.from(witsmlText(rows, { newestFirst: newestFirst && rows.length > 2 }));
      const whole = readTable('witsml', [bytes]);
      expect(whole.samples).toEqual(rows);
      expect(readTable('witsml', cutAt(bytes, places))).toEqual(whole);
    }),
    { numRuns: 60 },
  );
});
