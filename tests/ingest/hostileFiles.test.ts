/** What the world sends to be imported: read, or refused in one line, soon, in little memory, and without touching anything. */
import { describe, expect, test } from 'vitest';
import { preview } from '../../ingest/preview.ts';
import { recognise } from '../../ingest/recognise.ts';
import { emptySample, type Sample } from '../../src/channels.ts';
import { csvText, lasText, witsmlText } from '../support/tableWriters.ts';
import { STREAM } from './readStream.ts';
import { readTable, type TableFormat, type TableRead } from './readTable.ts';

const samples: readonly Sample[] = Array.from({ length: 20 }, (_, i) => {
  const sample = emptySample(Date.UTC(2031, 2, 4) + 1000 * i, Number.NaN);
  sample.bitDepth = 1000 + i / 8;
  sample.hookload = -2.5;
  sample.standpipePressure = 9000.5 + i;
  return sample;
});
const depths = (read: TableRead): number[] => read.samples.map(({ bitDepth }) => bitDepth);
const WANTED = samples.map(({ bitDepth }) => bitDepth);

const LAS = lasText(samples);
const CSV = csvText(samples);
const WITSML = witsmlText(samples);

describe('read as it is meant', () => {
  test.each<[string, TableFormat, string | Buffer]>([
    ['a wrapped LAS', 'las', lasText(samples, true)],
    [
      'a LAS with comma decimals',
      'las',
      LAS.replace(/(\d)\.(\d+)(?=[ \r\n]|$)/g, (all, a: string, b: string, at: number) =>
        at > LAS.indexOf('~ASCII') ? `${a},${b}` : all,
      ),
    ],
    ['a CSV with comma decimals and semicolons', 'csv', csvText(samples, { separator: ';', comma: true })],
    ['a CSV in UTF-16 with its mark', 'csv', Buffer.from(`\uFEFF${CSV}`, 'utf16le')],
    ['a CSV in UTF-16, big end first', 'csv', Buffer.from(`\uFEFF${CSV}`, 'utf16le').swap16()],
    ['a CSV in UTF-8 with its mark', 'csv', Buffer.from(`\uFEFF${CSV}`)],
    ['a CSV in Latin-1', 'csv', Buffer.from(CSV, 'latin1')],
    ['a LAS in UTF-16', 'las', Buffer.from(`\uFEFF${LAS}`, 'utf16le')],
    ['a WITSML log in UTF-16', 'witsml', Buffer.from(`\uFEFF${WITSML.replace('UTF-8', 'UTF-16')}`, 'utf16le')],
    ['a WITSML log that says another encoding than it has', 'witsml', WITSML.replace('UTF-8', 'ISO-8859-15')],
  ])('%s', (_, format, content) => {
    const bytes = typeof content === 'string' ? Buffer.from(content) : content;
    expect(recognise(bytes)).toBe(format);
    const read = readTable(format, [bytes]);
    expect(read.refusal).toBeNull();
    expect(depths(read)).toEqual(WANTED);
    expect(read.samples.every(({ hookload }) => hookload === -2.5)).toBe(true);
  });

  test('mnemonics that stand twice: the first feeds the channel, both are told', () => {
    const read = readTable('las', LAS.replace(' DMEA.m', ' DBTM.m'));
    expect(depths(read)).toEqual(WANTED);
    expect(read.columns.map(({ name }) => name)).toEqual(expect.arrayContaining(['DBTM', 'DBTM:2']));
  });

  test('cells that are formulas are no numbers, and nothing is worked out', () => {
    const bad = CSV.replace('1000.125', '=1000+0.125').replace('1000.25', '@SUM(1)').replace('1000.375', "'1000.375");
    const read = readTable('csv', bad);
    expect(read.samples.length).toBe(samples.length);
    expect(depths(read).slice(0, 5)).toEqual([1000, Number.NaN, Number.NaN, Number.NaN, 1000.5]);
    expect(read.counts.rejected['unreadable value']).toBe(3);
  });

  test('names that mean something to JavaScript or to a browser are names', () => {
    for (const name of [
      '__proto__',
      'constructor',
      'toString',
      '<script>alert(1)</script>',
      '"><img src=x onerror=alert(1)>',
    ]) {
      const read = readTable(
        'csv',
        CSV.replace('Time,', `Time,"${name.replaceAll('"', '""')}",`).replace(/\nT?(\d{4}-[^,]*),/g, '\n$1,7,'),
      );
      expect(depths(read)).toEqual(WANTED);
      expect([...read.counts.unknownCodes.keys()]).toContain(name);
    }
    expect(({} as { last?: string }).last).toBeUndefined();
  });
});

describe('refused in one line', () => {
  const without = (title: string): string => LAS.replace(new RegExp(`${title}[^~]*`), '');
  const xml = (inner: string, head = ''): string =>
    `<?xml version="1.0"?>${head}<logs xmlns="http://www.witsml.org/schemas/1series" version="1.4.1.1">${inner}</logs>`;
  const laughs = `<!DOCTYPE lolz [<!ENTITY a0 "ha">${Array.from({ length: 30 }, (_, i) => `<!ENTITY a${i + 1} "${`&a${i};`.repeat(10)}">`).join('')}]>`;
  const quadratic = `<!DOCTYPE q [<!ENTITY a "${'x'.repeat(50_000)}">]>`;
  const external = '<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd">]>';
  const remote = '<!DOCTYPE x SYSTEM "http://127.0.0.1:9/x.dtd">';

  test.each<[string, TableFormat, () => string | Buffer, RegExp]>([
    ['a LAS without ~W', 'las', () => without('~Well'), /found no section ~W, expected ~V, ~W, ~C and ~A/],
    ['a LAS without ~C', 'las', () => without('~Curve'), /found no section ~C/],
    ['a LAS without ~A', 'las', () => without('~ASCII'), /found no section ~A/],
    ['a LAS without ~V', 'las', () => without('~Version'), /found no section ~V/],
    ['a LAS of another version', 'las', () => LAS.replace('2.0 :', '3.0 :'), /found LAS version "3\.0", expected 2\.0/],
    [
      'a LAS by depth',
      'las',
      () => LAS.replace(' TIME.S', ' DEPT.M'),
      /found "DEPT\.M" as the index, expected a log by time/,
    ],
    ['a CSV without a header', 'csv', () => CSV.slice(CSV.indexOf('\n') + 1), /expected a header with a time column/],
    [
      'a CSV of one line without end',
      'csv',
      () => `Time,${'x'.repeat(1_000_000)}`,
      /found more than \d+ characters, expected a header/,
    ],
    ['a CSV of columns without end', 'csv', () => `Time${',a'.repeat(100_000)}\n`, /found more than 4096 columns/],
    [
      'billion laughs',
      'witsml',
      () => xml('<log>&a30;</log>', laughs),
      /found a document type \(DOCTYPE\), expected none/,
    ],
    ['one entity many times', 'witsml', () => xml(`<log>${'&a;'.repeat(50_000)}</log>`, quadratic), /DOCTYPE/],
    ['an entity in a file', 'witsml', () => xml('<log>&a;</log>', external), /DOCTYPE/],
    ['a document type elsewhere', 'witsml', () => xml('', remote), /DOCTYPE/],
    ['an entity that nobody declared', 'witsml', () => xml('<log>&a;</log>'), /expected well-formed XML/],
    [
      '200,000 elements within one another',
      'witsml',
      () => xml('<a>'.repeat(200_000)),
      /found elements 65 deep, expected at most 64/,
    ],
    [
      'an attribute of 20 MB',
      'witsml',
      () => xml(`<log uid="${'x'.repeat(20_000_000)}"/>`),
      /found markup or text of more than \d+ characters/,
    ],
    [
      '100,000 attributes',
      'witsml',
      () => xml(`<log ${Array.from({ length: 100_000 }, (_, i) => `a${i}=""`).join(' ')}/>`),
      /more than (256 attributes|\d+ characters)/,
    ],
    [
      'a text of 20 MB',
      'witsml',
      () => xml(`<log><name>${'x'.repeat(20_000_000)}</name></log>`),
      /found markup or text of more than \d+ characters/,
    ],
    [
      'a remark of 20 MB',
      'witsml',
      () => xml(`<!--${'x'.repeat(20_000_000)}-->`),
      /found markup or text of more than \d+ characters/,
    ],
    ['XML that does not end', 'witsml', () => WITSML.slice(0, WITSML.indexOf('<logData>')), /expected/],
    ['XML of another root', 'witsml', () => WITSML.replaceAll('logs', 'wells'), /found the root "wells"/],
    ['zeros', 'witsml', () => Buffer.alloc(1_000_000), /expected/],
  ])('%s', (_, format, content, line) => {
    const made = content();
    const bytes = typeof made === 'string' ? Buffer.from(made) : made;
    const before = process.memoryUsage().rss;
    const read = readTable(format, [bytes]);
    expect(process.memoryUsage().rss - before).toBeLessThan(150 * 1024 * 1024);
    expect(read.refusal).toMatch(line);
    expect(read.refusal).toMatch(/^[^\n]{1,400}$/);
    expect(read.samples).toEqual([]);
  });

  test.each<[string, string]>([
    ['a zip', 'PK\u0003\u0004'.padEnd(5000, '\u0001')],
    [
      'a spreadsheet in XML',
      '<?xml version="1.0"?><Workbook xmlns="urn:schemas-microsoft-com:office:spreadsheet"></Workbook>',
    ],
    ['a page', '<!doctype html><html><script>alert(1)</script></html>'],
    ['nothing', ''],
    ['deep JSON', '['.repeat(200_000)],
  ])('%s is no format that is known', (_, text) => {
    expect(preview(Buffer.from(text), STREAM)).toMatchObject({
      format: null,
      refusal: 'found a format that is not known',
    });
  });
});
