/**
 * A hanger set, tested and let go of, as piecewise linear functions of time: no physics beyond straight lines, so that it shares
 * nothing with the simulated rig. What the readings should prove is written down while the script is made.
 */
import { emptySample, type Sample } from '../../src/channels.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import { random } from './rigScript.ts';

const CHANNELS = ['depth', 'spp', 'annulus', 'flow', 'rpm', 'hook'] as const;
type Channel = (typeof CHANNELS)[number];
type Values = Record<Channel, number>;

const SPIKE: Values = { depth: 60, spp: 9000, annulus: -3000, flow: 5000, rpm: 300, hook: -500 };

export const HANGER_START_MS = Date.UTC(2031, 4, 6);

export interface Expected {
  readonly kind: string;
  readonly name: string;
  readonly outcome: string;
  readonly fromS: number;
  readonly toS: number;
  readonly numbers: Readonly<Record<string, readonly [value: number, within: number]>>;
}

export class HangerScript {
  t = 0;
  readonly now: Values;
  readonly expected: Expected[] = [];
  readonly events: { kind: string; atS: number }[] = [];
  readonly journal: JournalEntry[] = [];
  private readonly keys: Record<Channel, number[]>;

  constructor(start: Values) {
    this.now = { ...start };
    this.keys = Object.fromEntries(CHANNELS.map((c) => [c, [0, start[c]]])) as Record<Channel, number[]>;
  }

  /** All named channels go straight to their targets in `seconds`. */
  go(seconds: number, targets: Partial<Values> = {}): this {
    for (const channel of CHANNELS) {
      const target = targets[channel];
      if (target === undefined) continue;
      this.keys[channel].push(this.t, this.now[channel], this.t + seconds, target);
      this.now[channel] = target;
    }
    this.t += seconds;
    return this;
  }

  drop(ball: string): this {
    const at = new Date(HANGER_START_MS + this.t * 1000).toISOString();
    this.journal.push({ at, by: 'floor', action: 'drop ball', ball });
    return this;
  }

  expect(kind: string, name: string, outcome: string, fromS: number, numbers: Expected['numbers'] = {}): this {
    this.expected.push({ kind, name, outcome, fromS, toS: this.t, numbers });
    return this;
  }

  event(kind: string): this {
    this.events.push({ kind, atS: this.t });
    return this;
  }

  private at(channel: Channel, t: number): number {
    const keys = this.keys[channel];
    let i = keys.length - 2;
    while (i > 0 && keys[i]! > t) i -= 2;
    if (i + 2 >= keys.length) return keys[i + 1]!;
    const [t0, v0, t1, v1] = [keys[i]!, keys[i + 1]!, keys[i + 2]!, keys[i + 3]!];
    return v0 + ((v1 - v0) * (t - t0)) / (t1 - t0);
  }

  /** As a rig's sensors would read it. */
  samples({
    seed,
    everyS = 1,
    depthStep = 0.01,
    noise = 1,
    nulls = 0,
    spikes = 0,
    flowRead = true,
  }: SampleOptions): Sample[] {
    const rand = random(seed + 31);
    const gauss = () => Math.sqrt(-2 * Math.log(1 - rand())) * Math.cos(2 * Math.PI * rand()) * noise;
    const samples: Sample[] = [];
    let strokes = 4000;
    for (let i = 0; i * everyS <= this.t; i += 1) {
      const t = i * everyS;
      const ms = HANGER_START_MS + Math.round(t * 1000);
      const sample = emptySample(ms, ms);
      const read = (channel: Channel, sigma: number) => {
        const value = this.at(channel, t);
        if (spikes > 0 && rand() < spikes) return Math.max(0, value + SPIKE[channel]);
        return rand() < nulls ? Number.NaN : Math.max(0, value + (value > 1 ? gauss() * sigma : 0));
      };
      // The brake lets the block go unevenly.
      const moves = Math.abs(this.at('depth', t + 0.5) - this.at('depth', t - 0.5)) > 0.01;
      const depth = this.at('depth', t) + (moves ? 0.02 * Math.sin(t / 1.3) : 0);
      sample.bitDepth = Math.round(depth / depthStep) * depthStep;
      sample.blockPosition = Math.round((40 - (depth - 2400)) / depthStep) * depthStep;
      sample.standpipePressure = read('spp', 25);
      sample.annulusPressure = read('annulus', 20);
      sample.hookload = read('hook', 2.5);
      sample.rotation = Math.round(read('rpm', 0.2));
      const flow = this.at('flow', t);
      strokes += ((flow / 16.2) * everyS) / 60;
      sample.strokeRate1 = flow / 16.2;
      sample.strokeCount = Math.floor(strokes);
      if (flowRead) sample.flowIn = read('flow', 4);
      samples.push(sample);
    }
    return samples;
  }
}

export interface SampleOptions {
  readonly seed: number;
  readonly everyS?: number;
  readonly depthStep?: number;
  readonly noise?: number;
  readonly nulls?: number;
  /** Chance that a reading leaps for one sample. */
  readonly spikes?: number;
  /** Else only strokes are read. */
  readonly flowRead?: boolean;
}
