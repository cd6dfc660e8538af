/**
 * The channels that a sample carries. A source maps its own items onto these; everything after the source speaks
 * only of channels. Values are in the inside unit of the quantity; NaN means "no valid value".
 */
import type { Quantity } from './units.ts';

export interface Channel {
  readonly label: string;
  readonly quantity: Quantity;
}

const channel = (label: string, quantity: Quantity): Channel => ({ label, quantity });

export const CHANNELS = {
  bitDepth: channel('End depth', 'length'),
  holeDepth: channel('Hole depth', 'length'),
  blockPosition: channel('Block position', 'length'),
  hookload: channel('Hookload', 'force'),
  torque: channel('Torque', 'torque'),
  rotation: channel('Rotation', 'rotation'),
  standpipePressure: channel('Standpipe pressure', 'pressure'),
  annulusPressure: channel('Annulus pressure', 'pressure'),
  flowIn: channel('Flow in', 'flow'),
  flowOut: channel('Flow out', 'flow'),
  flowOutShare: channel('Flow out, share of range', 'fraction'),
  strokeRate1: channel('Stroke rate, pump 1', 'strokeRate'),
  strokeRate2: channel('Stroke rate, pump 2', 'strokeRate'),
  strokeRate3: channel('Stroke rate, pump 3', 'strokeRate'),
  strokeCount: channel('Stroke count', 'count'),
  tankVolume: channel('Active tank volume', 'volume'),
  densityIn: channel('Density in', 'density'),
  temperatureIn: channel('Temperature in', 'temperature'),
  temperatureOut: channel('Temperature out', 'temperature'),
  inSlips: channel('In slips', 'count'),
} as const satisfies Record<string, Channel>;

export type ChannelId = keyof typeof CHANNELS;
export const CHANNEL_IDS = Object.keys(CHANNELS) as ChannelId[];
/** Position of each channel in a packed row of values. */
export const CHANNEL_INDEX = Object.fromEntries(CHANNEL_IDS.map((id, i) => [id, i])) as Record<ChannelId, number>;

/**
 * One instant of all channels, written out whole and always with its keys in this order: a run of 72 h holds 259,200
 * of them and the engine keeps one hidden class for all.
 */
export interface Sample {
  /** Time stamp of the source, ms since 1970 UTC, strictly increasing within a run. */
  sourceMs: number;
  /** When its last byte reached us, ms since 1970 UTC by our clock; equals `sourceMs` for a recorded stream. */
  arrivalMs: number;
  bitDepth: number;
  holeDepth: number;
  blockPosition: number;
  hookload: number;
  torque: number;
  rotation: number;
  standpipePressure: number;
  annulusPressure: number;
  flowIn: number;
  flowOut: number;
  flowOutShare: number;
  strokeRate1: number;
  strokeRate2: number;
  strokeRate3: number;
  strokeCount: number;
  tankVolume: number;
  densityIn: number;
  temperatureIn: number;
  temperatureOut: number;
  /** 1 in slips, 0 out of slips, NaN not said. */
  inSlips: number;
}

/** A sample with no valid value in any channel. */
export function emptySample(sourceMs: number, arrivalMs: number): Sample {
  return {
    sourceMs,
    arrivalMs,
    bitDepth: Number.NaN,
    holeDepth: Number.NaN,
    blockPosition: Number.NaN,
    hookload: Number.NaN,
    torque: Number.NaN,
    rotation: Number.NaN,
    standpipePressure: Number.NaN,
    annulusPressure: Number.NaN,
    flowIn: Number.NaN,
    flowOut: Number.NaN,
    flowOutShare: Number.NaN,
    strokeRate1: Number.NaN,
    strokeRate2: Number.NaN,
    strokeRate3: Number.NaN,
    strokeCount: Number.NaN,
    tankVolume: Number.NaN,
    densityIn: Number.NaN,
    temperatureIn: Number.NaN,
    temperatureOut: Number.NaN,
    inSlips: Number.NaN,
  };
}
