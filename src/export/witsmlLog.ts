/**
 * A run as a log in WITSML 1.4.1.1, `obj_log`, by time. The order of the elements is that of the schema, which makes it a
 * sequence. No value is an empty cell, as it is by default; phases and joints are numbers that `logParam` explains.
 */
import { CAUTION } from '../caution.ts';
import { PHASE_NAMES } from '../phases.ts';
import { type ExportInput, rowChunks } from './exportInput.ts';
import { witsmlUnit } from './fileUnits.ts';
import { instantText } from './instantText.ts';
import { type TimeColumn, timeColumns } from './timeTable.ts';
import { xmlElement } from './xmlText.ts';

const NAMESPACE = 'http://www.witsml.org/schemas/1series';
const INDEX = 'TIME';
/** Characters of the schema's types: nameString and uidString, descriptionString. */
const LIMITS = { name: 64, uid: 64, description: 256 } as const;

const cut = (text: string, most: number): string => [...text.trim()].slice(0, most).join('');
/** A name may not be empty. */
const nameOf = (text: string, otherwise: string): string => cut(text, LIMITS.name) || otherwise;
/** Letters, digits and dashes, so that it can stand in an address. */
const uidOf = (text: string, otherwise: string): string =>
  text
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .replace(/[^A-Za-z0-9]+/g, '-')
    .slice(0, LIMITS.uid)
    .replace(/^-|-$/g, '') || otherwise;

interface Curve extends TimeColumn {
  /** Instants of the first and last value. */
  readonly from: string;
  readonly to: string;
}

function curveOf(column: TimeColumn, { samples, job }: ExportInput): Curve {
  let first = 0;
  let last = samples.rows - 1;
  while (Number.isNaN(column.values[first])) first += 1;
  while (Number.isNaN(column.values[last])) last -= 1;
  const instant = (row: number): string => instantText(samples.sourceMs[row]!, job.stream.utcOffsetMs);
  return { ...column, from: instant(first), to: instant(last) };
}

const unitText = ({ unit }: TimeColumn): string => (unit === null ? '' : witsmlUnit(unit));

function curveInfo(curve: Curve): string {
  const unit = unitText(curve);
  return [
    `<logCurveInfo uid="${curve.mnemonic}">`,
    xmlElement('mnemonic', curve.mnemonic),
    ...(unit === '' ? [] : [xmlElement('unit', unit)]),
    xmlElement('minDateTimeIndex', curve.from),
    xmlElement('maxDateTimeIndex', curve.to),
    xmlElement('curveDescription', cut(curve.title, LIMITS.description)),
    xmlElement('typeLogData', curve.kind === 'code' ? 'int' : 'double'),
    '</logCurveInfo>',
  ].join('');
}

/** The meaning of codes: the index tells one of a name from the next. */
const legend = (name: string, names: readonly string[]): string[] =>
  names.map((text, i) =>
    xmlElement('logParam', text, { index: String(i + 1), name, description: `${name} ${i + 1} of the rows` }),
  );

function head(input: ExportInput, curves: readonly Curve[]): string {
  const { samples, job, joints, name } = input;
  const instant = (row: number): string => instantText(samples.sourceMs[row]!, job.stream.utcOffsetMs);
  const first = instant(0);
  const last = instant(samples.rows - 1);
  const uids = { uidWell: uidOf(job.well, 'well'), uidWellbore: 'wellbore', uid: uidOf(`${name} ${first}`, 'log') };
  const said = Object.entries(uids).map(([key, value]) => ` ${key}="${value}"`);
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    `<logs xmlns="${NAMESPACE}" version="1.4.1.1">`,
    `<log${said.join('')}>`,
    xmlElement('nameWell', nameOf(job.well, 'not named')),
    xmlElement('nameWellbore', nameOf(job.well, 'not named')),
    xmlElement('name', nameOf(name, 'run')),
    xmlElement('description', cut(CAUTION, LIMITS.description)),
    xmlElement('dataDelimiter', ','),
    xmlElement('indexType', 'date time'),
    xmlElement('startDateTimeIndex', first),
    xmlElement('endDateTimeIndex', last),
    xmlElement('direction', 'increasing'),
    xmlElement('indexCurve', INDEX),
    ...legend('PHASE', PHASE_NAMES),
    ...legend('JOINT', joints),
    `<logCurveInfo uid="${INDEX}">${xmlElement('mnemonic', INDEX)}${xmlElement('minDateTimeIndex', first)}${xmlElement('maxDateTimeIndex', last)}${xmlElement('curveDescription', 'time of the reading')}${xmlElement('typeLogData', 'date time')}</logCurveInfo>`,
    ...curves.map(curveInfo),
    '<logData>',
    xmlElement('mnemonicList', [INDEX, ...curves.map(({ mnemonic }) => mnemonic)].join(',')),
    xmlElement('unitList', ['', ...curves.map(unitText)].join(',')),
    '',
  ].join('\n');
}

/** @param input of at least one sample */
export function* witsmlLog(input: ExportInput): Generator<string> {
  const { samples, job, units } = input;
  const curves = timeColumns(input, units).map((column) => curveOf(column, input));
  yield head(input, curves);
  yield* rowChunks(samples.rows, (row) => {
    let cells = instantText(samples.sourceMs[row]!, job.stream.utcOffsetMs);
    for (const { values, text } of curves) cells += Number.isNaN(values[row]) ? ',' : `,${text(values[row]!)}`;
    return `<data>${cells}</data>\n`;
  });
  yield '</logData>\n</log>\n</logs>\n';
}
