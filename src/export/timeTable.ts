/**
 * The columns of a run by time, the same in every format: all channels that have a value, so that what is imported again is
 * equal, then what was worked out. Phases, joints and verdicts are numbers with a legend where a format has no text.
 */
import { CHANNEL_IDS, CHANNELS, type ChannelId } from '../channels.ts';
import { PHASE_NAMES } from '../phases.ts';
import type { Quantity, UnitName, UnitSystem } from '../units.ts';
import { unitOf } from './fileUnits.ts';
import { exactText, roundedText } from './numberText.ts';
import { phaseCodes } from './phaseCodes.ts';
import type { WorkedCourse } from './workedCourse.ts';

/** The mnemonics of WITS record 1 (API PUBL 3855) where it has one. */
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

export interface TimeColumn {
  /** As a person reads it. */
  readonly title: string;
  readonly mnemonic: string;
  /** Null: none. */
  readonly unit: UnitName | null;
  /** `code`: a whole number that the legend explains, the number of a name from 1. */
  readonly kind: 'number' | 'code';
  /** Names by code. */
  readonly names: readonly string[];
  /** In the inside unit; NaN: none. */
  readonly values: ArrayLike<number>;
  /** What the value is written as; not asked for NaN. */
  text(value: number): string;
}

/** The text of the last value is kept: readings stand still more often than not. */
function remembered(write: (value: number) => string): (value: number) => string {
  let last = Number.NaN;
  let text = '';
  return (value) => {
    if (value !== last) {
      text = write(value);
      last = value;
    }
    return text;
  };
}

function channelColumn(id: ChannelId, values: ArrayLike<number>, system: UnitSystem): TimeColumn {
  const unit = unitOf(CHANNELS[id].quantity, system);
  return {
    title: CHANNELS[id].label,
    mnemonic: MNEMONICS[id],
    unit: unit === '1' ? null : unit,
    kind: 'number',
    names: [],
    values,
    text: remembered((value) => exactText(value, unit)),
  };
}

/** Decimals of what is worked out, in either unit system: as fine as it can be known. */
const DECIMALS = { length: 3, feed: 3, pressure: 1, force: 2 } as const;

function workedColumn(
  title: string,
  mnemonic: string,
  quantity: keyof typeof DECIMALS & Quantity,
  values: ArrayLike<number>,
  system: UnitSystem,
): TimeColumn {
  const unit = unitOf(quantity, system);
  const text = remembered((value) => roundedText(value, unit, DECIMALS[quantity]));
  return { title, mnemonic, unit, kind: 'number', names: [], values, text };
}

function codeColumn(title: string, mnemonic: string, names: readonly string[], values: ArrayLike<number>): TimeColumn {
  return { title, mnemonic, unit: null, kind: 'code', names, values, text: String };
}

const hasValue = (values: ArrayLike<number>, rows: number): boolean => {
  for (let row = 0; row < rows; row += 1) if (!Number.isNaN(values[row])) return true;
  return false;
};

/** Columns with at least one value; the time itself is none of them. */
export function timeColumns(
  { samples, worked, record, joints, tools }: WorkedCourse,
  system: UnitSystem,
): TimeColumn[] {
  const codes = phaseCodes(samples, record.phases, joints);
  const columns = [
    ...CHANNEL_IDS.map((id, c) => channelColumn(id, samples.channels[c]!, system)),
    codeColumn('Phase', 'PHASE', PHASE_NAMES, codes.phase),
    codeColumn('Joint', 'JOINT', joints, codes.joint),
    // Numbered, so that no name of a tool makes them what a channel is called.
    ...tools.map((name, i) =>
      workedColumn(`Contact depth ${i + 1}, ${name}`, `TDEP${i + 1}`, 'length', worked.contact[i]!, system),
    ),
    workedColumn('Feed', 'FEED', 'feed', worked.feed, system),
    workedColumn('Set-down', 'SETD', 'force', worked.setDown, system),
    workedColumn('Pressure at tool', 'PTOOL', 'pressure', worked.toolPressure, system),
  ];
  return columns.filter(({ values }) => hasValue(values, samples.rows));
}
