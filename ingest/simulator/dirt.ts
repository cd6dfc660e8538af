/**
 * Spoils a clean stream the way that real ones are spoilt: seeded, one rate for each kind of dirt. What really
 * happened stays the same, so the truth of the clean trip is the truth of the dirty one.
 */
import { type Random, seededRandom } from './random.ts';
import type { StreamFrame } from './tripStream.ts';

/** How often each kind comes: a share of the frames, or a number in the whole stream where the name says so. */
export interface DirtRates {
  readonly repeatedPacket: number;
  /** Never more than `MOST_LOST_IN_A_ROW` together, so that a lost frame makes no data gap at 1 Hz. */
  readonly lostFrame: number;
  readonly nullItem: number;
  readonly noiseBetween: number;
  readonly noiseInside: number;
  readonly lostTrailer: number;
  readonly depthSpike: number;
  readonly pressureSpike: number;
  readonly blockJitter: number;
  readonly record12: number;
  readonly otherLineEnd: number;
  readonly outOfOrder: number;
  /** In the whole stream. */
  readonly encoderWraps: number;
}

export const NO_DIRT: DirtRates = {
  repeatedPacket: 0,
  lostFrame: 0,
  nullItem: 0,
  noiseBetween: 0,
  noiseInside: 0,
  lostTrailer: 0,
  depthSpike: 0,
  pressureSpike: 0,
  blockJitter: 0,
  record12: 0,
  otherLineEnd: 0,
  outOfOrder: 0,
  encoderWraps: 0,
};

export const USUAL_DIRT: DirtRates = {
  repeatedPacket: 0.01,
  lostFrame: 0.01,
  nullItem: 0.02,
  noiseBetween: 0.01,
  noiseInside: 0.005,
  lostTrailer: 0.005,
  depthSpike: 0.002,
  pressureSpike: 0.002,
  blockJitter: 0.02,
  record12: 0.25,
  otherLineEnd: 0.02,
  outOfOrder: 0.003,
  encoderWraps: 2,
};

const MOST_LOST_IN_A_ROW = 2;
/** Seen once on a real rig: block and bit jump some 60 m apart and come back about 20 s later. */
const WRAP = { metres: 59.6, seconds: 20 } as const;
const RECORD_12_AHEAD_S = 3;
const NULL_TEXTS = ['-999.25', '-9999', '-9999.00', '', 'missing'] as const;
const MOST_NOISE_BYTES = 40;

/** The value of one item in a packet's text, replaced; `null` takes the line out. Text without the item stays. */
export function withItem(packet: string, code: string, change: (value: number) => string | null): string {
  const from = packet.indexOf(`\n${code}`);
  if (from < 0) return packet;
  const to = packet.indexOf('\r', from);
  const value = change(Number(packet.slice(from + 1 + code.length, to)));
  return packet.slice(0, from + 1) + (value === null ? packet.slice(to + 2) : `${code}${value}${packet.slice(to)}`);
}

function shifted(packet: string, code: string, by: number): string {
  return withItem(packet, code, (value) => (value + by).toFixed(2));
}

function noise(random: Random): string {
  let text = '';
  for (let i = random.whole(1, MOST_NOISE_BYTES); i > 0; i--) text += String.fromCharCode(random.whole(0, 255));
  return text;
}

function nulled(packet: string, random: Random): string {
  const codes = [...packet.matchAll(/\n(01(?:0[89]|[1-3]\d))/g)].map((match) => match[1]!);
  const text = random.pick(NULL_TEXTS);
  return withItem(packet, random.pick(codes), () => (text === 'missing' ? null : text));
}

function noisyInside(packet: string, random: Random): string {
  const lines = packet.split('\r\n');
  const at = random.whole(2, lines.length - 3);
  // Its own line: what was spoilt on the wire between two items.
  lines.splice(at, 0, noise(random).replace(/[&!\r\n]/g, '?'));
  return lines.join('\r\n');
}

function record12(frame: StreamFrame): string {
  const at = new Date(frame.sourceMs + RECORD_12_AHEAD_S * 1000).toISOString();
  const date = at.slice(2, 10).replaceAll('-', '');
  const time = at.slice(11, 19).replaceAll(':', '');
  return `&&\r\n1205${date}\r\n1206${time}\r\n1208-32768\r\n12120.02\r\n!!\r\n`;
}

export interface DirtPlace {
  /** Feet for streams in field units: how many of the stream's length units make a metre. */
  readonly perMetre: number;
  /** Where an encoder may wrap; everywhere when left out. */
  mayWrap?(fromMs: number, toMs: number): boolean;
}

/** The stretches, in frames, in which the encoder has wrapped. */
function wraps(frames: readonly StreamFrame[], count: number, place: DirtPlace, random: Random): Set<number> {
  const wrapped = new Set<number>();
  const margin = 5000;
  for (let made = 0, tries = 0; made < count && tries < 10_000; tries++) {
    const first = random.whole(0, frames.length - 1);
    const fromMs = frames[first]!.sourceMs;
    const toMs = fromMs + WRAP.seconds * 1000;
    if (toMs + margin > frames.at(-1)!.sourceMs) continue;
    if (place.mayWrap && !place.mayWrap(fromMs - margin, toMs + margin)) continue;
    for (let i = first; i < frames.length && frames[i]!.sourceMs < toMs; i++) wrapped.add(i);
    made++;
  }
  return wrapped;
}

/** One record 1 packet with what the sensors got wrong. */
function wrongValues(packet: string, rates: DirtRates, perMetre: number, isWrapped: boolean, random: Random): string {
  let text = packet;
  if (isWrapped) {
    text = shifted(shifted(text, '0112', WRAP.metres * perMetre), '0108', -WRAP.metres * perMetre);
  }
  if (random.chance(rates.depthSpike)) {
    text = shifted(text, '0108', random.between(5, 60) * (random.chance(0.5) ? 1 : -1) * perMetre);
  }
  if (random.chance(rates.pressureSpike)) {
    const times = random.pick([0, 3]);
    text = withItem(text, '0121', (value) => (value * times).toFixed(0));
  }
  if (random.chance(rates.blockJitter)) text = shifted(text, '0112', random.between(-0.03, 0.03) * perMetre);
  if (random.chance(rates.nullItem)) text = nulled(text, random);
  return text;
}

/** One packet as the line spoils it. */
function wrongBytes(packet: string, rates: DirtRates, random: Random): string {
  let text = packet;
  if (random.chance(rates.noiseInside)) text = noisyInside(text, random);
  if (random.chance(rates.lostTrailer)) text = text.replace('!!\r\n', '');
  if (random.chance(rates.otherLineEnd)) text = text.replaceAll('\r\n', random.pick(['\n', '\r']));
  if (random.chance(rates.repeatedPacket)) text += text;
  if (random.chance(rates.noiseBetween)) text = noise(random) + text;
  return text;
}

/** @returns the spoilt frames, in the order in which they are sent; a frame of them may hold any bytes (latin-1). */
export function spoil(frames: readonly StreamFrame[], seed: number, rates: DirtRates, place: DirtPlace): StreamFrame[] {
  const random = seededRandom(seed);
  const wrapped = wraps(frames, rates.encoderWraps, place, random);
  const sent: StreamFrame[] = [];
  let lost = 0;
  frames.forEach((frame, i) => {
    if (random.chance(rates.lostFrame) && lost < MOST_LOST_IN_A_ROW) {
      lost++;
      return;
    }
    lost = 0;
    const packets = frame.packets.map((packet, k) => {
      const isRecord1 = k === 0;
      const values = isRecord1 ? wrongValues(packet, rates, place.perMetre, wrapped.has(i), random) : packet;
      return wrongBytes(values, rates, random);
    });
    if (random.chance(rates.record12)) packets.push(record12(frame));
    const spoilt = { sourceMs: frame.sourceMs, packets };
    if (sent.length > 0 && random.chance(rates.outOfOrder)) sent.splice(sent.length - 1, 0, spoilt);
    else sent.push(spoilt);
  });
  return sent;
}
