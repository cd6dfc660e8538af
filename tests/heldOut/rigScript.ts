/**
 * A trip as piecewise linear functions of time. Nothing here is physics: each move says where depth, block, pressure,
 * rotation, torque, hookload and flow go and how long that takes.
 */

export const CHANNELS = ['depth', 'block', 'pressure', 'rpm', 'torque', 'hook', 'flow', 'slips'] as const;
export type Channel = (typeof CHANNELS)[number];
export type Values = Record<Channel, number>;

export function random(seed: number): () => number {
  let state = (seed * 2654435761 + 12345) >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let x = Math.imul(state ^ (state >>> 15), state | 1);
    x ^= x + Math.imul(x ^ (x >>> 7), x | 61);
    return ((x ^ (x >>> 14)) >>> 0) / 4294967296;
  };
}

export class RigScript {
  t = 0;
  readonly now: Values;
  readonly keys: Record<Channel, number[]>;
  /** Stretches of time in which nobody means to expand: connections, running in, coming back. */
  readonly quiet: [number, number][] = [];
  readonly slipsTimes: number[] = [];
  readonly stalls: { at: number; end: number }[] = [];

  constructor(start: Values) {
    this.now = { ...start };
    this.keys = Object.fromEntries(CHANNELS.map((c) => [c, [0, start[c]]])) as Record<Channel, number[]>;
  }

  /** All named channels go to their targets in `seconds`, those in `over` sooner. */
  go(seconds: number, targets: Partial<Values>, over: Partial<Values> = {}): this {
    for (const channel of CHANNELS) {
      const target = targets[channel];
      if (target === undefined) continue;
      const within = Math.min(seconds, over[channel] ?? seconds);
      this.keys[channel].push(this.t, this.now[channel], this.t + within, target);
      this.now[channel] = target;
    }
    this.t += seconds;
    return this;
  }

  /** The end goes to `depth` at `speed` m/min with the block. */
  run(depth: number, speed: number, targets: Partial<Values> = {}, over: Partial<Values> = {}): this {
    const by = depth - this.now.depth;
    const seconds = (Math.abs(by) / speed) * 60;
    return this.go(seconds, { depth, block: this.now.block - by, ...targets }, over);
  }

  quietly(action: () => void): void {
    const from = this.t;
    action();
    this.quiet.push([from, this.t]);
  }

  reader(channel: Channel): (t: number) => number {
    const keys = this.keys[channel];
    let i = 0;
    return (t) => {
      while (i + 2 < keys.length && keys[i + 2]! <= t) i += 2;
      while (i > 0 && keys[i]! > t) i -= 2;
      const [t0, v0] = [keys[i]!, keys[i + 1]!];
      if (i + 2 >= keys.length) return v0;
      const [t1, v1] = [keys[i + 2]!, keys[i + 3]!];
      return v0 + ((v1 - v0) * (t - t0)) / (t1 - t0);
    };
  }
}
