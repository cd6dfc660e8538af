/** Samples as the files of other programs, for the tests of the readers: plain writers, no more than the tests need. */
import { CHANNEL_IDS, CHANNELS, type ChannelId, type Sample } from '../../src/channels.ts';
import { fromInside, UNITS, type UnitName } from '../../src/units.ts';

export interface WrittenColumn {
  readonly channel: ChannelId;
  readonly name: string;
  readonly unit: UnitName;
}

const INSIDE: Partial<Record<string, UnitName>> = {
  length: 'm',
  force: 'kN',
  torque: 'kN·m',
  rotation: 'rpm',
  pressure: 'kPa',
  flow: 'L/min',
  fraction: '%',
  strokeRate: 'spm',
  count: '1',
  volume: 'm³',
  density: 'kg/m³',
  temperature: '°C',
};

/** Every channel under its label, in the unit inside, so that a value is written as it is. */
export const INSIDE_COLUMNS: readonly WrittenColumn[] = CHANNEL_IDS.map((channel) => ({
  channel,
  name: CHANNELS[channel].label,
  unit: INSIDE[CHANNELS[channel].quantity]!,
}));

/** Mnemonics of WITS record 1 where there is one. */
const MNEMONICS: Readonly<Record<ChannelId, string>> = {
  bitDepth: 'DBTM',
  holeDepth: 'DMEA',
  blockPosition: 'BPOS',
  hookload: 'HKLA',
  torque: 'TQA',
  rotation: 'RPMA',
  standpipePressure: 'SPPA',
  annulusPressure: 'CHKP',
  flowIn: 'MFIA',
  flowOut: 'MFOA',
  flowOutShare: 'MFOP',
  strokeRate1: 'SPM1',
  strokeRate2: 'SPM2',
  strokeRate3: 'SPM3',
  strokeCount: 'STKC',
  tankVolume: 'TVA',
  densityIn: 'MDIA',
  temperatureIn: 'MTIA',
  temperatureOut: 'MTOA',
  inSlips: 'INSLIPS',
};
export const MNEMONIC_COLUMNS: readonly WrittenColumn[] = INSIDE_COLUMNS.map((column) => ({
  ...column,
  name: MNEMONICS[column.channel],
}));

export const iso = (ms: number): string => new Date(ms).toISOString();

const valueIn = (sample: Sample, { channel, unit }: WrittenColumn): number => fromInside(sample[channel], unit);

/** Never an exponential. */
function fixed(value: number): string {
  const text = String(value);
  return text.includes('e') ? value.toFixed(12) : text;
}

export interface CsvStyle {
  readonly columns?: readonly WrittenColumn[];
  readonly separator?: string;
  readonly comma?: boolean;
  readonly unitRow?: boolean;
  readonly lineEnd?: string;
  readonly newestFirst?: boolean;
}

export function csvText(samples: readonly Sample[], style: CsvStyle = {}): string {
  const { columns = INSIDE_COLUMNS, separator = ',', comma = false, unitRow = false, lineEnd = '\r\n' } = style;
  const label = ({ unit }: WrittenColumn) => UNITS[unit].label;
  const heads = columns.map((column) =>
    unitRow || label(column) === '' ? column.name : `${column.name} (${label(column)})`,
  );
  const quoted = (text: string) => (text.includes(separator) ? `"${text}"` : text);
  const lines = [['Time', ...heads].map(quoted).join(separator)];
  if (unitRow) lines.push(['', ...columns.map(label)].join(separator));
  const rows = samples.map((sample) => {
    const cells = columns.map((column) => {
      const value = valueIn(sample, column);
      const text = Number.isNaN(value) ? '' : fixed(value);
      return comma ? text.replace('.', ',') : text;
    });
    return [iso(sample.sourceMs), ...cells].join(separator);
  });
  if (style.newestFirst) rows.reverse();
  return [...lines, ...rows, ''].join(lineEnd);
}

/** Symbols without signs that LAS cannot hold (ASCII). */
const ascii = (unit: UnitName): string => UNITS[unit].label.replace('°', 'deg').replace('³', '3').replace('·', '.');
const LAS_NULL = '-999.25';

export function lasText(samples: readonly Sample[], wrapped = false, columns = MNEMONIC_COLUMNS): string {
  const startMs = samples[0]!.sourceMs;
  const seconds = (ms: number) => ((ms - startMs) / 1000).toFixed(3);
  const head = [
    '~Version Information',
    ' VERS.                 2.0 : CWLS LOG ASCII STANDARD - VERSION 2.0',
    ` WRAP.                 ${wrapped ? 'YES' : 'NO'} :`,
    '~Well Information',
    ' STRT.S                0.000 : FIRST INDEX',
    ` STOP.S                ${seconds(samples.at(-1)!.sourceMs)} : LAST INDEX`,
    ' STEP.S                0 : IRREGULAR',
    ` NULL.                 ${LAS_NULL} :`,
    '~Parameter Information',
    ` START.                ${iso(startMs)} : INSTANT OF INDEX 0`,
    '~Curve Information',
    ' TIME.S                : ELAPSED TIME',
    ...columns.map(({ name, unit, channel }) => ` ${name}.${ascii(unit)} : ${CHANNELS[channel].label.toUpperCase()}`),
    '~ASCII',
  ];
  const rows = samples.map((sample) => {
    const cells = columns.map((column) => {
      const value = valueIn(sample, column);
      return Number.isNaN(value) ? LAS_NULL : fixed(value);
    });
    const index = seconds(sample.sourceMs);
    if (!wrapped) return [index, ...cells].join(' ');
    const lines = [index];
    for (let i = 0; i < cells.length; i += 3) lines.push(cells.slice(i, i + 3).join(' '));
    return lines.join('\r\n');
  });
  return [...head, ...rows].join('\r\n');
}

export interface LogStyle {
  readonly columns?: readonly WrittenColumn[];
  readonly newestFirst?: boolean;
  /** Text before and behind the log. */
  readonly around?: readonly [string, string];
}

const XMLNS = 'http://www.witsml.org/schemas/1series';

export function witsmlText(samples: readonly Sample[], style: LogStyle = {}): string {
  const { columns = MNEMONIC_COLUMNS, newestFirst = false, around = ['', ''] } = style;
  const stamp = (ms: number) => iso(ms).replace('Z', '0000+00:00');
  const rows = samples.map((sample) => {
    const cells = columns.map((column) => {
      const value = valueIn(sample, column);
      return Number.isNaN(value) ? '' : String(value);
    });
    return `<data>${[stamp(sample.sourceMs), ...cells].join(',')}</data>`;
  });
  if (newestFirst) rows.reverse();
  const units = columns.map(({ unit }) => UNITS[unit].label);
  return [
    `<?xml version="1.0" encoding="UTF-8"?>`,
    `<logs xmlns="${XMLNS}" version="1.4.1.1">${around[0]}<log uidWell="w" uidWellbore="b" uid="l">`,
    '<nameWell>Test</nameWell><nameWellbore>Test</nameWellbore><name>By time</name>',
    `<indexType>date time</indexType><direction>${newestFirst ? 'decreasing' : 'increasing'}</direction>`,
    '<indexCurve>TIME</indexCurve>',
    '<logCurveInfo uid="TIME"><mnemonic>TIME</mnemonic><typeLogData>date time</typeLogData></logCurveInfo>',
    ...columns.map(
      ({ name, unit }) =>
        `<logCurveInfo uid="${name}"><mnemonic>${name}</mnemonic><unit>${UNITS[unit].label}</unit><typeLogData>double</typeLogData></logCurveInfo>`,
    ),
    `<logData><mnemonicList>TIME,${columns.map(({ name }) => name).join(',')}</mnemonicList><unitList>,${units.join(',')}</unitList>`,
    ...rows,
    `</logData></log>${around[1]}</logs>`,
  ].join('\n');
}
