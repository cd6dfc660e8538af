/** The report as a file: read back by a reader of its own, and by `pdftotext` where that is installed. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeAll, describe, expect, onTestFinished, test } from 'vitest';
import { drawnSheets, makeReport, reportInput, workedCourse } from '../../server/report/makeReport.ts';
import { sheetPen } from '../../server/report/sheetFonts.ts';
import type { ReportInput } from '../../src/report/reportInput.ts';
import { demoCourse } from '../support/demoCourse.ts';
import { longRun } from '../support/longRun.ts';
import { pdftotext, type ReadPdf, readPdf } from '../support/pdfText.ts';
import { HOSTILE_NAME, inputWithAllParts } from '../support/reportParts.ts';
import { layoutFaults } from '../support/sheetChecks.ts';

/** A file that is larger cannot be sent from a rig. */
const MOST_BYTES = 5 * 1024 * 1024;
/** On a machine that is busy with other tests. */
const SLOW = { timeout: 120_000 };

/** Narrow and unbreakable spaces are spaces. */
const plain = (text: string): string => text.replace(/[\u00a0\u202f\s]+/g, ' ');

async function demoInput(): Promise<ReportInput> {
  const { course, source } = await demoCourse();
  return reportInput({ worked: await workedCourse(course), source, runName: 'demo' });
}

function written(bytes: Uint8Array): string {
  const folder = mkdtempSync(join(tmpdir(), 'jointwise-report-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const file = join(folder, 'report.pdf');
  writeFileSync(file, bytes);
  return file;
}

describe('the report of the demo', () => {
  let input: ReportInput;
  let bytes: Uint8Array;
  let pdf: ReadPdf;
  beforeAll(async () => {
    input = await demoInput();
    bytes = await makeReport(input, { linkBase: 'http://127.0.0.1:7300/' });
    pdf = readPdf(bytes);
  });

  test('every page bears its number, of how many', () => {
    expect(pdf.pages.length).toBeGreaterThan(15);
    for (const [i, { texts }] of pdf.pages.entries()) expect(texts).toContain(`Page ${i + 1} of ${pdf.pages.length}`);
  });

  test('a sheet for each joint, once, with its verdict', () => {
    const { record } = { record: input.worked.position.run.job };
    for (const { name, kind, requiredM } of record.joints) {
      const found = pdf.pages.filter(({ texts }) => texts.some((text) => text.startsWith(`Joint ${name}, ${kind}`)));
      expect(found.length, name).toBe(requiredM > 0 ? 1 : 0);
    }
    const s5 = pdf.pages.find(({ texts }) => texts.some((text) => text.startsWith('Joint S5,')))!;
    expect(s5.texts).toContain('unproven');
    expect(s5.texts).toContain('no data');
  });

  test('it says what it is and when the record ends, whatever the clock says', () => {
    expect(pdf.info.Title).toContain('Demo 7');
    expect(pdf.info.CreationDate).toBe('D:20310512053154Z');
    expect(pdf.pages[0]!.texts).toContain(
      "Well control comes first: the rig's own equipment and procedures decide, not this screen.",
    );
  });

  test('gaps and verdicts lead to the traces at their moment', () => {
    const links = pdf.pages.flatMap(({ links: own }) => own);
    const s5 = links.filter((link) =>
      /^http:\/\/127\.0\.0\.1:7300\/#at=2031-05-12T05:1\d:\d\d\.\d+Z&joint=S5$/.test(link),
    );
    expect(s5.length).toBeGreaterThan(1);
  });

  test('equal inputs make equal bytes', SLOW, async () => {
    const again = await makeReport(await demoInput(), { linkBase: 'http://127.0.0.1:7300/' });
    expect(Buffer.compare(bytes, again)).toBe(0);
  });

  test('it is small', () => {
    expect(bytes.length).toBeLessThan(MOST_BYTES);
  });

  test('pdftotext, where it is installed, reads the same', SLOW, () => {
    const said = pdftotext(written(bytes));
    if (said === null) return;
    const pages = said.split('\f').slice(0, -1).map(plain);
    expect(pages).toHaveLength(pdf.pages.length);
    for (const [i, { texts }] of pdf.pages.entries()) {
      const page = pages[i]!;
      for (const text of texts)
        for (const word of plain(text).split(' ')) expect(page, `page ${i + 1}`).toContain(word);
    }
  });
});

test(
  'with something in every part and hostile names nothing is off the margins or on top of something else',
  SLOW,
  async () => {
    const input = inputWithAllParts({ units: 'field', name: HOSTILE_NAME });
    const sheets = await drawnSheets(input);
    expect(sheets.flatMap(layoutFaults)).toEqual([]);
    const { pages } = readPdf(await makeReport(input));
    const said = pages.flatMap(({ texts }) => texts).join(' ');
    expect(said).toContain(`Joint ${HOSTILE_NAME}, screen`);
    expect(said).toContain('NOT WHOLE');
    expect(said).toContain('BROKEN since');
    // A report that knows of no live page leads nowhere but to its own sheets.
    const links = pages.flatMap(({ links: own }) => own);
    expect(links.length).toBeGreaterThan(5);
    for (const link of links) expect(sheets.map(({ key }) => key)).toContain(link);
  },
);

test('60 joints: all of them, and small', SLOW, async () => {
  const { course, source } = longRun(60, 5);
  const input = reportInput({ worked: await workedCourse(course), source, runName: 'long', units: 'field' });
  const sheets = await drawnSheets(input);
  expect(sheets.filter(({ part }) => part === 'Joint sheets')).toHaveLength(60);
  expect(sheets.flatMap(layoutFaults)).toEqual([]);
  const bytes = await makeReport(input);
  expect(bytes.length).toBeLessThan(MOST_BYTES);
  const { pages } = readPdf(bytes);
  expect(pages).toHaveLength(sheets.length);
  for (let i = 1; i <= 60; i += 1) {
    expect(
      pages.some(({ texts }) => texts.includes(`Joint S${i}, screen, zone A`)),
      `S${i}`,
    ).toBe(true);
  }
});

test('a text is as wide as its letters, at every size', async () => {
  const { measure } = await sheetPen();
  expect(measure('', 10, false)).toBe(0);
  expect(measure('abcd', 20, false)).toBeCloseTo(2 * measure('abcd', 10, false), 6);
  expect(measure('abcd', 10, true)).toBeGreaterThan(measure('abcd', 10, false));
});
