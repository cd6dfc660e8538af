/** Which WITS items feed which channels, in which unit: the standard's items by default, the plan's map over them. */
import { CHANNELS, type ChannelId } from '../../src/channels.ts';
import { Fault } from '../../src/fault.ts';
import type { Job } from '../../src/plan/job.ts';
import type { ChannelMapping } from '../../src/plan/planSchema.ts';
import { SYSTEM_UNITS, UNITS, type UnitName, type UnitSystem } from '../../src/units.ts';
import { codeText, witsItem } from './items.ts';
import { witsUnit } from './witsUnits.ts';

/**
 * The default map. Where several items feed one channel the first is preferred; the later ones are used only while
 * none before them is delivered: maxima where the average is missing, then the tripping, hydraulics and tank records.
 */
export const DEFAULT_CHANNELS: readonly (readonly [code: number, channel: ChannelId])[] = [
  [108, 'bitDepth'],
  [110, 'holeDepth'],
  [112, 'blockPosition'],
  [114, 'hookload'],
  [118, 'torque'],
  [120, 'rotation'],
  [121, 'standpipePressure'],
  [122, 'annulusPressure'],
  [123, 'strokeRate1'],
  [124, 'strokeRate2'],
  [125, 'strokeRate3'],
  [126, 'tankVolume'],
  [128, 'flowOutShare'],
  [129, 'flowOut'],
  [130, 'flowIn'],
  [132, 'densityIn'],
  [133, 'temperatureOut'],
  [134, 'temperatureIn'],
  [137, 'strokeCount'],
  [115, 'hookload'],
  [119, 'torque'],
  [508, 'bitDepth'],
  [510, 'holeDepth'],
  [513, 'inSlips'],
  [514, 'hookload'],
  [515, 'blockPosition'],
  [413, 'flowIn'],
  [414, 'standpipePressure'],
  [1111, 'tankVolume'],
];

/** Whether a key of a channel map is an item code; the others are names of columns, which only tables have. */
export const isItemCode = (key: string): boolean => /^\d{4}$/.test(key);

/** An item that feeds a channel: value in the channel's inside unit = number on the line × scale + offset. */
export interface MappedItem {
  readonly code: number;
  readonly record: number;
  readonly channel: ChannelId;
  readonly unit: UnitName;
  readonly scale: number;
  readonly offset: number;
  /** A two-byte integer by the standard: its smallest value means "none". */
  readonly short: boolean;
}

export interface ChannelMap {
  /** By preference: of two items that feed one channel, the earlier is preferred. */
  readonly items: readonly MappedItem[];
  /** Codes that the user leaves out on purpose. */
  readonly ignored: readonly number[];
}

/**
 * The unit of an item when the user names none: that of the item table, where it fits the channel, else that of the
 * stream's unit system. Note that a table in metric units gives forces in KDN (10 kN), not in kN.
 */
function assumedUnit(code: number, channel: ChannelId, system: UnitSystem): UnitName {
  const quantity = CHANNELS[channel].quantity;
  const published = witsUnit(witsItem(code)?.units[system] ?? '');
  if (published && published !== '1' && UNITS[published].quantity === quantity) return published;
  return SYSTEM_UNITS[system][quantity];
}

function mapItem(code: number, channel: ChannelId, mapping: Partial<ChannelMapping>, system: UnitSystem): MappedItem {
  const unit = mapping.unit ?? assumedUnit(code, channel, system);
  const { quantity, scale, offset } = UNITS[unit];
  if (quantity !== CHANNELS[channel].quantity) {
    throw new Fault(
      'bad channel map',
      `channels["${codeText(code)}"].unit: found "${unit}", expected a unit of ${CHANNELS[channel].quantity} for ${channel}`,
    );
  }
  return {
    code,
    record: Math.floor(code / 100),
    channel,
    unit,
    scale: (mapping.scale ?? 1) * scale,
    offset: (mapping.offset ?? 0) * scale + offset,
    short: witsItem(code)?.type === 'S',
  };
}

/**
 * The map of a stream. Items that the plan maps come first, in ascending code, so that they are preferred to the
 * defaults of the same channel; a plan that names an item replaces its default.
 * @throws Fault 'bad channel map' where a unit does not fit its channel.
 */
export function channelMap(stream: Pick<Job['stream'], 'units' | 'channels'>): ChannelMap {
  const items: MappedItem[] = [];
  const ignored: number[] = [];
  const named = new Set<number>();
  for (const [text, mapping] of Object.entries(stream.channels).sort(([a], [b]) => (a < b ? -1 : 1))) {
    if (!isItemCode(text)) continue;
    const code = Number(text);
    named.add(code);
    if (mapping.channel === null) ignored.push(code);
    else items.push(mapItem(code, mapping.channel, mapping, stream.units));
  }
  for (const [code, channel] of DEFAULT_CHANNELS) {
    if (!named.has(code)) items.push(mapItem(code, channel, {}, stream.units));
  }
  return { items, ignored };
}
