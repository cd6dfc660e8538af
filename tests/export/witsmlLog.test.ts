/**
 * The WITSML log against its standard: WITSML 1.4.1.1, `obj_log`, `grp_log`, `cs_logCurveInfo` and `cs_logData`, whose
 * schemas make every type a sequence.
 */
import fc from 'fast-check';
import { type SaxesAttributeNS, SaxesParser } from 'saxes';
import { beforeAll, describe, expect, test } from 'vitest';
import type { ExportInput } from '../../src/export/exportInput.ts';
import { witsmlLog } from '../../src/export/witsmlLog.ts';
import { xmlElement } from '../../src/export/xmlText.ts';
import { demoCourse } from '../support/demoCourse.ts';
import { exportInput, textOf } from './exportedRun.ts';

/** `!`: minOccurs 1. `*`: may stand more than once. */
const SEQUENCES: Readonly<Record<string, string>> = {
  log: 'nameWell! nameWellbore! name! objectGrowing dataUpateRate curveSensorsAligned dataGroup serviceCompany runNumber bhaRunNumber pass creationDate description dataDelimiter indexType! startIndex endIndex stepIncrement startDateTimeIndex endDateTimeIndex direction indexCurve! nullValue logParam* logCurveInfo* logData* commonData customData',
  logCurveInfo:
    'mnemonic! classWitsml classIndex unit mnemAlias nullValue alternateIndex wellDatum minIndex maxIndex minDateTimeIndex maxDateTimeIndex curveDescription sensorOffset dataSource densData traceState traceOrigin typeLogData! axisDefinition* extensionNameValue*',
  logData: 'mnemonicList! unitList! data*',
  logs: 'documentInfo log*',
};
/** LogDataType. */
const DATA_TYPES = ['byte', 'date time', 'double', 'float', 'int', 'long', 'short', 'string', 'string40', 'string16'];

interface Element {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: Element[];
  text: string;
}

function read(xml: string): Element {
  const root: Element = { name: '', attributes: {}, children: [], text: '' };
  const open = [root];
  const parser = new SaxesParser({ xmlns: true });
  parser.on('error', (error) => {
    throw error;
  });
  parser.on('opentag', (tag) => {
    expect(tag.uri).toBe('http://www.witsml.org/schemas/1series');
    const attributes = Object.fromEntries(
      Object.values(tag.attributes as Record<string, SaxesAttributeNS>).map(({ name, value }) => [name, value]),
    );
    const element = { name: tag.name, attributes, children: [], text: '' };
    open.at(-1)!.children.push(element);
    open.push(element);
  });
  parser.on('text', (text) => {
    open.at(-1)!.text += text;
  });
  parser.on('closetag', () => void open.pop());
  parser.write(xml).close();
  return root.children[0]!;
}

function followsItsSequence(element: Element): void {
  const sequence = SEQUENCES[element.name];
  if (sequence === undefined) return;
  const places = sequence
    .split(' ')
    .map((word) => ({ name: word.replace(/[!*]/, ''), needed: word.endsWith('!'), many: word.endsWith('*') }));
  const found = element.children.map(({ name }) => places.findIndex((place) => place.name === name));
  expect(found).not.toContain(-1);
  expect(found).toEqual([...found].sort((a, b) => a - b));
  places.forEach(({ name, needed, many }, place) => {
    const count = found.filter((each) => each === place).length;
    if (needed) expect([name, count]).toEqual([name, 1]);
    if (!many) expect(count).toBeLessThanOrEqual(1);
  });
  for (const child of element.children) followsItsSequence(child);
}

const childText = (element: Element, name: string): string =>
  element.children.find((child) => child.name === name)?.text ?? '';

let worked: ExportInput;
beforeAll(async () => {
  const { course, source } = await demoCourse();
  worked = exportInput(course, source, 'metric');
});
const demoIn = (units: 'metric' | 'field', name = 'trip 4'): ExportInput => ({ ...worked, units, name });

describe.each(['metric', 'field'] as const)('the demo in %s units', (units) => {
  let logs: Element;
  beforeAll(() => {
    logs = read(textOf(witsmlLog(demoIn(units))));
  });
  const log = (): Element => logs.children[0]!;
  const curves = (): Element[] => log().children.filter(({ name }) => name === 'logCurveInfo');

  test('has the elements of the schema in their order, and those that it needs', () => {
    expect(logs).toMatchObject({ name: 'logs', attributes: { version: '1.4.1.1' } });
    expect(logs.children.map(({ name }) => name)).toEqual(['log']);
    followsItsSequence(logs);
    for (const uid of ['uidWell', 'uidWellbore', 'uid']) expect(log().attributes[uid]).toMatch(/^[\w-]{1,64}$/);
    for (const name of ['nameWell', 'nameWellbore', 'name']) expect(childText(log(), name)).toMatch(/^.{1,64}$/);
    expect(childText(log(), 'indexType')).toBe('date time');
  });

  test('every parameter has its index, as IndexedObject needs', () => {
    const parameters = log().children.filter(({ name }) => name === 'logParam');
    expect(parameters.length).toBeGreaterThan(16);
    for (const { attributes } of parameters)
      expect(attributes).toMatchObject({ index: expect.stringMatching(/^\d+$/) });
  });

  test('its curves have uids, types and the units of their column, and the index comes first', () => {
    const infos = curves();
    const data = log().children.find(({ name }) => name === 'logData')!;
    const mnemonics = childText(data, 'mnemonicList').split(',');
    const unitList = childText(data, 'unitList').split(',');
    expect(mnemonics[0]).toBe(childText(log(), 'indexCurve'));
    expect(infos.map((info) => childText(info, 'mnemonic'))).toEqual(mnemonics);
    expect(infos.map((info) => childText(info, 'unit'))).toEqual(unitList);
    expect(new Set(infos.map(({ attributes }) => attributes.uid)).size).toBe(infos.length);
    for (const info of infos) expect(DATA_TYPES).toContain(childText(info, 'typeLogData'));
    for (const { text } of data.children.filter(({ name }) => name === 'data')) {
      const cells = text.split(',');
      if (cells.length !== mnemonics.length) expect(text).toBe(mnemonics.length);
    }
  });

  test('ranges are those of the values that are there, with their zone', () => {
    const data = log().children.find(({ name }) => name === 'logData')!;
    const rows = data.children.filter(({ name }) => name === 'data').map(({ text }) => text.split(','));
    expect(childText(log(), 'startDateTimeIndex')).toBe(rows[0]![0]);
    expect(childText(log(), 'endDateTimeIndex')).toBe(rows.at(-1)![0]);
    expect(rows[0]![0]).toMatch(/(Z|[+-]\d\d:\d\d)$/);
    curves().forEach((info, c) => {
      const there = rows.filter((row) => row[c] !== '');
      expect(childText(info, 'minDateTimeIndex')).toBe(there[0]![0]);
      expect(childText(info, 'maxDateTimeIndex')).toBe(there.at(-1)![0]);
    });
  });
});

test('any text is one that XML may hold, and comes back', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'binary' }), fc.string({ unit: 'binary' }), (text, said) => {
      const xml = xmlElement('a', text, { said }).replace('<a ', '<a xmlns="http://www.witsml.org/schemas/1series" ');
      const back = read(xml);
      // XML reads every line end as a line feed, and in an attribute as a blank.
      const kept = (each: string): string =>
        each.replace(/[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/gu, '\ufffd');
      expect(back.text).toBe(kept(text).replace(/\r\n?/g, '\n'));
      expect(back.attributes.said).toBe(kept(said).replace(/\r\n?|[\n\t]/g, ' '));
    }),
    { numRuns: 50 },
  );
});

test('a run of any name is a log with uids', () => {
  for (const name of ['', '<script>alert(1)</script>', '../../x', 'é'.repeat(300), '&x;']) {
    const logs = read(textOf(witsmlLog(demoIn('metric', name))).replace(/<data>[\s\S]*<\/data>/, ''));
    followsItsSequence(logs);
    expect(logs.children[0]!.attributes.uid).toMatch(/^[\w-]{1,64}$/);
  }
});
