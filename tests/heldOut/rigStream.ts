/** A script sampled as a rig's sensors would, and printed as WITS level 0 with the dirt of a real line. */
import { CHANNELS, type Channel, type RigScript, random } from './rigScript.ts';

export interface StreamOptions {
  readonly units: 'metric' | 'field';
  /** Seconds between samples, taken in turn. */
  readonly steps: readonly number[];
  readonly seed: number;
  readonly depthPrint: 'cm' | 'dm' | 'tenth foot' | 'foot as cm';
  readonly blockPrint: 'same' | 'cm' | 'mm';
  readonly noise?: Partial<Record<Channel, number>>;
  readonly heave?: { readonly metres: number; readonly seconds: number };
  readonly drift?: number;
  readonly rpmPrint: 'whole' | 'float' | 'tenth';
  readonly flag?: 'YN' | '10';
  readonly silences?: readonly (readonly [number, number])[];
  readonly nullsFor?: number;
  readonly dirt?: {
    /** Chance a frame of each; all default to 0. */
    readonly nulls?: number;
    readonly repeats?: number;
    readonly lost?: number;
    readonly noise?: number;
    readonly noTrailer?: number;
    readonly spikes?: Partial<Record<Channel, number>>;
    readonly ahead?: number;
  };
  readonly wraps?: readonly number[];
  /** The depth is worked out so many seconds after the block is read. */
  readonly depthLag?: number;
  /** Item codes that this rig does not send. */
  readonly omit?: readonly string[];
  /** Hookload is averaged over so many seconds by the sensor system. */
  readonly hookFilter?: number;
  /** Lines of other items, the same in each frame. */
  readonly extra?: readonly string[];
  /** Lines of items that this rig sends beside, at `t` seconds, from the true values and what noise there is (−1 to 1). */
  readonly beside?: (t: number, values: Readonly<Record<Channel, number>>, noise: () => number) => readonly string[];
}

export const START_MS = Date.UTC(2031, 2, 4);
const FOOT = 0.3048;
const NULLS = ['-999.25', '-9999', '-8888', '-9999.00', ''];
const SPIKE: Record<Channel, number> = {
  depth: 60,
  block: 35,
  pressure: 9000,
  rpm: 300,
  torque: 60,
  hook: -500,
  flow: 5000,
  slips: 0,
};

const two = (n: number) => String(n).padStart(2, '0');

function stamp(record: string, ms: number): string[] {
  const d = new Date(ms);
  const date = `${two(d.getUTCFullYear() % 100)}${two(d.getUTCMonth() + 1)}${two(d.getUTCDate())}`;
  return [`${record}05${date}`, `${record}06${two(d.getUTCHours())}${two(d.getUTCMinutes())}${two(d.getUTCSeconds())}`];
}

export function printStream(script: RigScript, o: StreamOptions): Buffer {
  const rand = random(o.seed + 77);
  const gauss = () => Math.sqrt(-2 * Math.log(1 - rand())) * Math.cos(2 * Math.PI * rand());
  const readers = Object.fromEntries(CHANNELS.map((c) => [c, script.reader(c)])) as Record<
    Channel,
    (t: number) => number
  >;
  const field = o.units === 'field';
  const dirt = o.dirt ?? {};
  const chance = (p: number | undefined) => p !== undefined && p > 0 && rand() < p;
  const out: string[] = [];
  let lastSecond = -1;
  let t = 0.2;
  const driftPeriod = 900;
  let hook = readers.hook(0);
  for (let k = 0; t <= script.t; t += o.steps[k % o.steps.length]!, k++) {
    if (o.silences?.some(([a, b]) => t >= a && t < b)) continue;
    const second = Math.floor(t);
    if (second === lastSecond) continue;
    lastSecond = second;
    const v = {} as Record<Channel, number>;
    for (const c of CHANNELS) v[c] = readers[c](t) + (o.noise?.[c] ? gauss() * o.noise[c]! : 0);
    if (o.depthLag) v.depth += readers.depth(Math.max(0, t - o.depthLag)) - readers.depth(t);
    if (o.hookFilter) {
      hook += (v.hook - hook) * Math.min(1, o.steps[k % o.steps.length]! / o.hookFilter);
      v.hook = hook;
    }
    if (o.heave) {
      const by = o.heave.metres * Math.sin((2 * Math.PI * t) / o.heave.seconds);
      v.depth += by;
      v.block -= by;
    }
    if (o.drift && v.pressure > 1000) v.pressure += o.drift * Math.sin((2 * Math.PI * t) / driftPeriod);
    v.pressure = Math.max(0, v.pressure);
    v.rpm = Math.max(0, v.rpm);
    for (const c of CHANNELS) if (chance(dirt.spikes?.[c])) v[c] += SPIKE[c];
    if (o.wraps?.some((w) => t >= w && t < w + 18)) {
      v.block += 40;
      v.depth -= 40;
    }
    if (chance(dirt.lost)) continue;
    const lines = printed(v, o, field);
    const body = lines
      .filter(([code]) => !o.omit?.includes(code))
      .map(([code, text], i) => {
        if (i > 0 && chance(dirt.nulls)) text = NULLS[Math.floor(rand() * NULLS.length)]!;
        if (o.nullsFor && t < o.nullsFor) text = '-999.25';
        return code + text;
      });
    if (o.extra) body.push(...o.extra);
    if (o.beside) body.push(...o.beside(t, v, () => 2 * rand() - 1));
    if (o.flag) body.push(`0513${o.flag === 'YN' ? (v.slips >= 0.5 ? 'Y' : 'N') : v.slips >= 0.5 ? '1' : '0'}`);
    const frame = `&&\r\n${[...stamp('01', START_MS + second * 1000), ...body].join('\r\n')}\r\n`;
    if (chance(dirt.noise)) out.push('\u0001x#&1!z\r\n');
    out.push(frame + (chance(dirt.noTrailer) ? '' : '!!\r\n'));
    if (chance(dirt.repeats)) out.push(`${frame}!!\r\n`);
    if (chance(dirt.ahead)) {
      out.push(
        `&&\r\n${[...stamp('12', START_MS + (second + 3) * 1000), '1212-32768', '12081.5'].join('\r\n')}\r\n!!\r\n`,
      );
    }
  }
  return Buffer.from(out.join(''), 'latin1');
}

function printed(v: Record<Channel, number>, o: StreamOptions, field: boolean): [string, string][] {
  const foot = field ? FOOT : 1;
  const depth =
    o.depthPrint === 'foot as cm'
      ? ((Math.round(v.depth / FOOT / 0.1) * 0.1 * FOOT) / foot).toFixed(2)
      : (v.depth / foot).toFixed(o.depthPrint === 'cm' ? 2 : 1);
  const blockDigits = o.blockPrint === 'mm' ? 3 : o.blockPrint === 'cm' || o.depthPrint === 'cm' ? 2 : 1;
  const rpm =
    o.rpmPrint === 'whole'
      ? v.rpm.toFixed(0)
      : o.rpmPrint === 'tenth'
        ? v.rpm.toFixed(1)
        : String(Math.fround(v.rpm) + (v.rpm > 0 ? 2.3841858e-6 : 0));
  return [
    ['0108', depth],
    ['0112', (v.block / foot).toFixed(blockDigits)],
    ['0114', (v.hook / (field ? 4.4482216 : 10)).toFixed(field ? 1 : 2)],
    ['0118', (v.torque / (field ? 1.3558179 : 1)).toFixed(2)],
    ['0120', rpm],
    ['0121', (v.pressure / (field ? 6.8947573 : 1)).toFixed(0)],
    ['0130', (v.flow / (field ? 3.7854118 : 1)).toFixed(0)],
  ];
}
