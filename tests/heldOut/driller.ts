/** Who moves the rig: rolls the joints one after the other, adds stands, and meets what was planned on the way. */
import type { Layout } from './rigLayout.ts';
import type { RigScript } from './rigScript.ts';

/** What a driller does his own way. Seconds, metres, m/min, kPa, kN. */
export interface Manner {
  feed: number;
  /** Feed swings by this share every 5 s. */
  ripple: number;
  rpm: number;
  isolationKpa: number;
  screenKpa: number;
  between: 'keep' | 'low' | 'off';
  changeMoving: boolean;
  pumpRamp: number;
  rotationRamp: number;
  pickUp: number;
  lowerAgain: boolean;
  slipsLow: number;
  transfer: number;
  blockRaise: number;
  makeUp: boolean;
  slipsHook: number;
  outOfSlips: number;
  stands: readonly number[];
  firstBlock: number;
  blockKn: number;
  stringKn: number;
  think: number;
  stopBefore: number;
  inSlips: number;
}

export const MANNER: Manner = {
  feed: 1.2,
  ripple: 0,
  rpm: 40,
  isolationKpa: 18500,
  screenKpa: 9200,
  between: 'keep',
  changeMoving: false,
  pumpRamp: 15,
  rotationRamp: 5,
  pickUp: 1,
  lowerAgain: true,
  slipsLow: 0,
  transfer: 3,
  blockRaise: 60,
  makeUp: true,
  slipsHook: 180,
  outOfSlips: 0.3,
  stands: [27],
  firstBlock: 20,
  blockKn: 180,
  stringKn: 700,
  think: 15,
  stopBefore: 0,
  inSlips: 90,
};

export interface Planned {
  /** Of the end of the string, m. */
  readonly depth: number;
  readonly act: (driller: Driller) => void;
}

const ROLLING_TORQUE = 8;
const FREE_TORQUE = 4;
const LEAD = 0.4;

export class Driller {
  private stand = 0;
  readonly planned: Planned[] = [];
  feed: number;
  constructor(
    readonly script: RigScript,
    readonly layout: Layout,
    readonly manner: Manner,
  ) {
    this.feed = manner.feed;
  }

  get weight(): number {
    return this.manner.blockKn + this.manner.stringKn;
  }

  /** Friction of the string up or down, kN. */
  get drag(): number {
    return Math.min(40, 0.12 * this.manner.stringKn);
  }

  /** Pressure that the tools need with the end at `depth`; 0 where none is in its joint. */
  need(depth: number): number {
    let need = 0;
    for (const joint of this.layout.joints) {
      const recipe = this.layout.recipes[joint.kind];
      if (!recipe) continue;
      for (const tool of recipe.tools) {
        const at = depth - this.layout.tools[tool]!;
        if (at < joint.from - LEAD || at >= joint.to + 0.05) continue;
        need = Math.max(need, joint.kind === 'isolation' ? this.manner.isolationKpa : this.manner.screenKpa);
      }
    }
    return need;
  }

  private turns(): number[] {
    const turns: number[] = [];
    for (const joint of this.layout.joints) {
      for (const tool of this.layout.recipes[joint.kind]?.tools ?? []) {
        turns.push(joint.from - LEAD + this.layout.tools[tool]!, joint.to + 0.05 + this.layout.tools[tool]!);
      }
    }
    return turns;
  }

  startTurning(): void {
    const { script, manner } = this;
    script.go(manner.rotationRamp, { rpm: manner.rpm, torque: FREE_TORQUE, hook: this.weight });
  }

  pumps(pressure: number, seconds = this.manner.pumpRamp): void {
    this.script.go(seconds, { pressure, flow: pressure > 0 ? 300 + pressure / 40 : 0 });
  }

  /** Expands from where the end is down to `depth`, with whatever was planned on the way. */
  expandTo(depth: number): void {
    const { script } = this;
    const turns = this.turns();
    while (script.now.depth < depth - 1e-9) {
      const at = script.now.depth;
      const due = this.planned.findIndex((one) => one.depth <= at + 1e-9);
      if (due >= 0) {
        this.planned.splice(due, 1)[0]!.act(this);
        continue;
      }
      const room = script.now.block - 1.2;
      if (room < 1e-6) {
        this.connection();
        continue;
      }
      const stops = [...turns, ...this.planned.map((one) => one.depth)].filter((d) => d > at + 1e-9);
      this.setPressure();
      this.roll(Math.min(depth, at + room, ...stops));
    }
    script.go(1, {});
  }

  private wanted(): number {
    const need = this.need(this.script.now.depth + 1e-6);
    if (need > 0) return need;
    const { between } = this.manner;
    return between === 'keep' ? this.script.now.pressure : between === 'low' ? 3000 : 0;
  }

  private setPressure(): void {
    const wanted = this.wanted();
    if (Math.abs(wanted - this.script.now.pressure) < 1) return;
    if (this.manner.changeMoving) return;
    this.pumps(wanted);
  }

  private roll(depth: number): void {
    const { script, manner } = this;
    const need = this.need(script.now.depth + 1e-6);
    const wanted = this.wanted();
    const change = Math.abs(wanted - script.now.pressure) < 1 ? {} : { pressure: wanted, flow: 300 + wanted / 40 };
    const torque = need > 0 ? ROLLING_TORQUE : FREE_TORQUE + 0.5;
    const hook = this.weight - (need > 0 ? Math.min(30, 0.2 * manner.stringKn) : 8);
    script.go(0, {});
    let first = true;
    while (script.now.depth < depth - 1e-9) {
      const swing = manner.ripple === 0 ? 1 : 1 + manner.ripple * (Math.floor(script.t / 5) % 2 === 0 ? 1 : -1);
      const step = manner.ripple === 0 ? depth : Math.min(depth, script.now.depth + (this.feed * swing) / 12);
      script.run(step, this.feed * swing, first ? { ...change, torque, hook } : {}, {
        pressure: 8,
        flow: 8,
        torque: 2,
        hook: 2,
      });
      first = false;
    }
  }

  standStill(seconds: number): void {
    this.script.go(seconds, { torque: FREE_TORQUE, hook: this.weight }, { torque: 3, hook: 3 });
  }

  /** A stand added: the ground below where rolling stopped is rolled again from above it. */
  connection(): void {
    const { script, manner } = this;
    const frontier = script.now.depth;
    const pressure = script.now.pressure;
    if (manner.stopBefore > 0) this.standStill(manner.stopBefore);
    script.quietly(() => {
      this.stopAll();
      if (manner.pickUp > 0) {
        script.run(frontier - manner.pickUp, 6, { hook: this.weight + this.drag }, { hook: 3 });
        if (manner.lowerAgain)
          script.run(frontier + manner.slipsLow, 6, { hook: this.weight - this.drag }, { hook: 3 });
      } else if (manner.slipsLow > 0)
        script.run(frontier + manner.slipsLow, 3, { hook: this.weight - this.drag }, { hook: 3 });
      this.slips(() => this.raiseBlock(manner.stands[this.stand++ % manner.stands.length]!));
      const up = manner.outOfSlips + (script.now.depth > frontier ? script.now.depth - frontier : 0);
      if (up > 0) script.run(script.now.depth - up, 5, { hook: this.weight + this.drag }, { hook: 2 });
      script.go(2, { hook: this.weight });
      script.go(manner.think, {});
      this.pumps(pressure);
      this.startTurning();
      const back = Math.min(frontier, script.now.depth + Math.max(0, frontier - script.now.depth - 0.15));
      if (back > script.now.depth) script.run(back, 2.5);
    });
  }

  stopAll(): void {
    const { script, manner } = this;
    script.go(manner.rotationRamp, { rpm: 0, torque: 0, hook: this.weight });
    this.pumps(0);
  }

  slips(body: () => void): void {
    const { script, manner } = this;
    script.go(manner.think / 3, {});
    script.slipsTimes.push(script.t);
    const sag = manner.transfer > 0 ? 0.06 : 0;
    script.go(manner.transfer, { hook: manner.slipsHook, block: script.now.block - sag });
    script.go(0, { slips: 1 });
    script.go(manner.inSlips / 3, {});
    body();
    script.go(manner.inSlips / 3, {});
    if (manner.makeUp) {
      script.go(3, { torque: 30, rpm: 12 });
      script.go(6, { torque: 42, rpm: 5 });
      script.go(2, { torque: 0, rpm: 0 });
    }
    script.go(manner.inSlips / 3, {});
    script.go(manner.transfer, { hook: this.weight + 5, block: script.now.block + sag });
    script.go(0, { slips: 0 });
  }

  private raiseBlock(by: number): void {
    this.script.go(this.manner.blockRaise, { block: this.script.now.block + by });
  }

  pullStands(count: number, length: number): void {
    const { script } = this;
    script.quietly(() => {
      this.stopAll();
      for (let i = 0; i < count; i++) {
        script.run(script.now.depth - length, 12, { hook: this.weight + 1.5 * this.drag }, { hook: 3 });
        script.go(3, { hook: this.weight });
        this.slips(() => this.raiseBlock(-length));
      }
    });
  }
}
