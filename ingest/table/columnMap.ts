/**
 * Which columns of a table feed which channels, in which unit.
 *
 * M1 The user's map wins, by the column's name as it stands, then by its letters and digits alone; then the names that
 *    are known. Of two columns that feed one channel those that the user maps come first.
 * M2 The unit is the map's, else the one in the file, else that of the stream's unit system, which is said in a note.
 * M3 A unit in the file that is none of the channel's quantity is not guessed: the column is not read, and says why.
 */
import { CHANNELS, type ChannelId } from '../../src/channels.ts';
import { Fault } from '../../src/fault.ts';
import type { Job } from '../../src/plan/job.ts';
import type { ChannelMapping } from '../../src/plan/planSchema.ts';
import { SYSTEM_UNITS, UNITS } from '../../src/units.ts';
import { isItemCode } from '../wits/channelMap.ts';
import { shownText } from './cellText.ts';
import { bareName, channelNamed } from './columnNames.ts';
import { readUnit, saysNoUnit } from './unitSpellings.ts';

export const COLUMN_LIMITS = { columns: 4096, notes: 50 } as const;

export interface TableColumn {
  readonly name: string;
  /** As the file writes it; empty where it says none. */
  readonly unit: string;
  /** Numbers that mean "none" in this column, besides the stream's. */
  readonly nulls?: readonly number[];
}

/** value in the channel's inside unit = number in the cell × scale + offset */
export interface ReadColumn {
  readonly index: number;
  readonly name: string;
  readonly channel: ChannelId;
  /** As a person reads it: the file's own, the map's, or the one assumed. */
  readonly unit: string;
  readonly unitFrom: 'file' | 'map' | 'assumed';
  readonly scale: number;
  readonly offset: number;
  readonly nulls: readonly number[];
}

export interface ColumnMap {
  /** By preference: of two columns that feed one channel, the earlier is preferred. */
  readonly read: readonly ReadColumn[];
  /** Columns that feed no channel and are not left out on purpose. */
  readonly unknown: readonly { readonly index: number; readonly name: string }[];
  readonly notes: readonly string[];
}

interface Candidate {
  readonly column: TableColumn;
  readonly index: number;
  readonly channel: ChannelId;
  readonly rank: number;
  readonly mapping: Partial<ChannelMapping>;
}

type UnitOf = Pick<ReadColumn, 'unit' | 'unitFrom' | 'scale' | 'offset'>;

function mappedUnit({ channel, mapping, column }: Candidate): UnitOf | undefined {
  if (mapping.unit === undefined) return undefined;
  const { quantity, label, scale, offset } = UNITS[mapping.unit];
  if (quantity !== CHANNELS[channel].quantity) {
    throw new Fault(
      'bad channel map',
      `channels[${shownText(column.name)}].unit: found "${mapping.unit}", expected a unit of ${CHANNELS[channel].quantity} for ${channel}`,
    );
  }
  return { unit: label, unitFrom: 'map', scale, offset };
}

/** M2. Undefined: M3. */
function unitOf(candidate: Candidate, stream: Pick<Job['stream'], 'units'>): UnitOf | undefined {
  const mapped = mappedUnit(candidate);
  if (mapped) return mapped;
  const { quantity } = CHANNELS[candidate.channel];
  const { unit } = candidate.column;
  if (saysNoUnit(unit)) {
    const { label, scale, offset } = UNITS[SYSTEM_UNITS[stream.units][quantity]];
    return { unit: label, unitFrom: quantity === 'count' ? 'file' : 'assumed', scale, offset };
  }
  const read = readUnit(unit, quantity);
  if (read) {
    const { scale, offset } = UNITS[read.unit];
    return { unit, unitFrom: 'file', scale: read.times * scale, offset };
  }
  return quantity === 'count' ? { unit, unitFrom: 'file', scale: 1, offset: 0 } : undefined;
}

function mappingsByName(stream: Pick<Job['stream'], 'channels'>): (name: string) => [string, ChannelMapping] | null {
  const exact = new Map(Object.entries(stream.channels));
  const bare = new Map<string, [string, ChannelMapping]>();
  for (const [key, mapping] of exact) if (!bare.has(bareName(key))) bare.set(bareName(key), [key, mapping]);
  return (name) => {
    const mapping = exact.get(name);
    return mapping ? [name, mapping] : (bare.get(bareName(name)) ?? null);
  };
}

/** @throws Fault 'bad channel map' where a unit of a map for columns does not fit its channel. */
export function checkMappings(stream: Pick<Job['stream'], 'channels'>): void {
  for (const [name, mapping] of Object.entries(stream.channels)) {
    const { channel } = mapping;
    if (channel !== null) mappedUnit({ column: { name, unit: '' }, index: 0, channel, rank: 0, mapping });
  }
}

/** @param times indices of the columns that make the time: no channels. */
export function columnMap(
  columns: readonly TableColumn[],
  times: readonly number[],
  stream: Pick<Job['stream'], 'units' | 'channels'>,
): ColumnMap {
  const mappingOf = mappingsByName(stream);
  const candidates: Candidate[] = [];
  const unknown: { index: number; name: string }[] = [];
  const used = new Set<string>();
  columns.forEach((column, index) => {
    if (times.includes(index)) return;
    const [key, mapping] = mappingOf(column.name) ?? [];
    if (key !== undefined) used.add(key);
    // The second of two columns of one name is `NAME:2`, and feeds what the first would.
    const named = channelNamed(column.name.replace(/:\d+$/, ''));
    if (mapping?.channel === null) return;
    if (mapping) candidates.push({ column, index, channel: mapping.channel, rank: -1, mapping });
    else if (named) candidates.push({ column, index, channel: named.channel, rank: named.rank, mapping: {} });
    else unknown.push({ index, name: column.name });
  });
  const notes = Object.keys(stream.channels)
    .filter((key) => !used.has(key) && !isItemCode(key))
    .map((key) => `the channel map names ${shownText(key)}: found no such column`);
  candidates.sort((a, b) => a.rank - b.rank || a.index - b.index);
  const read: ReadColumn[] = [];
  for (const candidate of candidates) {
    const { column, index, channel, mapping } = candidate;
    const unit = unitOf(candidate, stream);
    const { name } = column;
    if (unit === undefined) {
      unknown.push({ index, name });
      const { quantity } = CHANNELS[channel];
      notes.push(
        `${shownText(name)} is not read: found the unit ${shownText(column.unit)}, expected one of ${quantity}`,
      );
      continue;
    }
    if (unit.unitFrom === 'assumed') notes.push(`${shownText(name)} has no unit: taken as ${unit.unit}`);
    const scale = (mapping.scale ?? 1) * unit.scale;
    const offset = (mapping.offset ?? 0) * unit.scale + unit.offset;
    read.push({
      index,
      name,
      channel,
      unit: unit.unit,
      unitFrom: unit.unitFrom,
      scale,
      offset,
      nulls: column.nulls ?? [],
    });
  }
  unknown.sort((a, b) => a.index - b.index);
  return { read, unknown, notes: notes.slice(0, COLUMN_LIMITS.notes) };
}
