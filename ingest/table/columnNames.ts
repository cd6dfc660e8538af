/**
 * Which channel a column feeds by its name: our own labels and ids, the items of the WITS default map by code, mnemonic
 * and description (API PUBL 3855), and further names that are common practice in log files (from memory).
 */
import { CHANNEL_IDS, CHANNELS, type ChannelId } from '../../src/channels.ts';
import { DEFAULT_CHANNELS } from '../wits/channelMap.ts';
import { codeText, witsItem } from '../wits/items.ts';

const OTHER_NAMES: Partial<Readonly<Record<ChannelId, string>>> = {
  bitDepth: 'bit depth, bit position, tool depth, depth bit, bitdep, bdep, end of string',
  holeDepth: 'hole depth, total depth, depth hole, holedep',
  blockPosition: 'block position, block height, hook height, hook position, blk pos, bpos, block',
  hookload: 'hookload, hook load, hkld, hkl, wlk, weight on hook',
  torque: 'torque, rotary torque, surface torque, tq, trq',
  rotation: 'rpm, rotary speed, surface rpm, rotary rpm',
  standpipePressure: 'spp, standpipe, stand pipe pressure, pump pressure',
  annulusPressure: 'annulus pressure, annular pressure, casing pressure, choke pressure, wellhead pressure',
  flowIn: 'flow in, flow rate in, pump rate, flow rate, mud flow in',
  flowOut: 'flow out, flow rate out, mud flow out',
  strokeRate1: 'spm 1, pump 1 spm, pump 1 stroke rate',
  strokeRate2: 'spm 2, pump 2 spm, pump 2 stroke rate',
  strokeRate3: 'spm 3, pump 3 spm, pump 3 stroke rate',
  strokeCount: 'strokes, total strokes, pump strokes',
  tankVolume: 'active volume, active pit volume, active tank, tank volume, pit volume',
  densityIn: 'mud density in, mud weight in',
  temperatureIn: 'mud temperature in, temp in',
  temperatureOut: 'mud temperature out, temp out',
  inSlips: 'in slips, slips, slip status, slips status',
};

/** Letters and digits only: how a name is compared. */
export const bareName = (name: string): string => name.toLowerCase().replace(/[^\p{L}\p{N}]/gu, '');

interface NamedChannel {
  readonly channel: ChannelId;
  /** Of two columns that feed one channel the lower is preferred. */
  readonly rank: number;
}

function names(): ReadonlyMap<string, NamedChannel> {
  const all = new Map<string, NamedChannel>();
  let rank = 0;
  const add = (name: string, channel: ChannelId) => {
    const key = bareName(name);
    if (key !== '' && !all.has(key)) all.set(key, { channel, rank: rank++ });
  };
  for (const id of CHANNEL_IDS) {
    add(CHANNELS[id].label, id);
    add(id, id);
  }
  for (const [code, channel] of DEFAULT_CHANNELS) {
    add(codeText(code), channel);
    const item = witsItem(code);
    for (const name of item ? [item.short, item.long, item.description] : []) add(name, channel);
  }
  for (const id of CHANNEL_IDS) for (const name of OTHER_NAMES[id]?.split(', ') ?? []) add(name, id);
  return all;
}

const NAMES = names();

export function channelNamed(name: string): NamedChannel | undefined {
  return NAMES.get(bareName(name));
}
