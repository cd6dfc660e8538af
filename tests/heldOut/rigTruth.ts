/** What really happened, by brute force: time in steps of 0.05 s, depth in cells of a millimetre. */
import type { Layout } from './rigLayout.ts';
import type { RigScript } from './rigScript.ts';

const STEP_S = 0.05;
const CELL_M = 0.001;

export interface TrueJoint {
  readonly name: string;
  readonly required: number;
  readonly expanded: number;
  readonly unproven: number;
  readonly longestGap: number;
  readonly verdict: string;
  /** A share or a gap so near to the acceptance that readings cannot decide. */
  readonly close: boolean;
}
export interface TrueEvent {
  readonly kind: string;
  readonly joint: string | null;
  /** Seconds from the start. */
  readonly from: number;
  readonly to: number;
  /** Long enough that it must be found; otherwise it may be. */
  readonly must: boolean;
}
export interface Truth {
  readonly joints: readonly TrueJoint[];
  readonly events: readonly TrueEvent[];
  readonly connections: number;
}

interface Spell {
  kind: string;
  joint: string;
  from: number;
  to: number;
  metres: number;
  seconds: number;
}

const UNTOUCHED = 0;
const UNSEEN = 1;
const GOOD = 2;

/** @param silences stretches of time without frames, s. */
export function truthOf(script: RigScript, layout: Layout, silences: readonly (readonly [number, number])[]): Truth {
  const read = {
    depth: script.reader('depth'),
    pressure: script.reader('pressure'),
    rpm: script.reader('rpm'),
  };
  const cells = layout.joints.map((j) => new Uint8Array(Math.round((j.to - j.from) / CELL_M)));
  const swept = layout.joints.map(() => false);
  const spells: Spell[] = [];
  const inAny = (t: number, list: readonly (readonly [number, number])[]) => list.some(([a, b]) => t >= a && t < b);
  const bad = (kind: string, joint: string, t: number, metres: number) => {
    let spell = spells.filter((one) => one.kind === kind && one.joint === joint).at(-1);
    if (!spell || t - spell.to > 20) {
      spell = { kind, joint, from: t, to: t, metres: 0, seconds: 0 };
      spells.push(spell);
    }
    spell.to = t;
    spell.metres += metres;
    spell.seconds += STEP_S;
  };
  let before = read.depth(0);
  for (let k = 1; k * STEP_S <= script.t; k++) {
    const t = k * STEP_S;
    const depth = read.depth(t);
    const by = depth - before;
    if (by > 1e-9) {
      const p = read.pressure(t - STEP_S / 2);
      const rpm = read.rpm(t - STEP_S / 2);
      const feed = (by / STEP_S) * 60;
      const unseen = inAny(t, silences);
      const quiet = inAny(t, script.quiet);
      layout.joints.forEach((joint, i) => {
        const recipe = layout.recipes[joint.kind];
        for (const tool of recipe?.tools ?? []) {
          const a = Math.max(joint.from, before - layout.tools[tool]!);
          const b = Math.min(joint.to, depth - layout.tools[tool]!);
          if (b <= a) continue;
          swept[i] = true;
          const from = Math.round((a - joint.from) / CELL_M);
          const to = Math.round((b - joint.from) / CELL_M);
          const good = p >= recipe!.min - 1e-6 && rpm >= recipe!.rpm - 1e-9 && feed <= recipe!.feed + 1e-6;
          let fresh = 0;
          for (let c = from; c < to; c++) {
            if (cells[i]![c] !== GOOD) fresh += CELL_M;
            if (unseen) cells[i]![c] = Math.max(cells[i]![c]!, UNSEEN);
            else if (good) cells[i]![c] = GOOD;
          }
          if (unseen) continue;
          // Coming back fast over ground that an incident left open is lost feed, though nobody need be told.
          if (quiet && fresh > 0 && p >= recipe!.min && feed > recipe!.feed)
            bad('fast feed', joint.name, t, fresh / 100);
          if (quiet) continue;
          if (p > recipe!.max) bad('high pressure', joint.name, t, 1);
          if (good || fresh === 0) continue;
          if (p < recipe!.min) bad('low pressure', joint.name, t, fresh);
          if (rpm < recipe!.rpm) bad('rotation lost', joint.name, t, fresh);
          if (feed > recipe!.feed) bad('fast feed', joint.name, t, fresh);
        }
      });
    }
    before = depth;
  }
  const events = trueEvents(script, layout, silences, spells);
  return {
    joints: layout.joints.map((joint, i) => trueJoint(layout, joint, cells[i]!, swept[i]!, read.depth(script.t))),
    events,
    // One that lies in a silence altogether (none takes longer than 10 minutes here) cannot be known.
    connections: script.slipsTimes.filter((at) => !silences.some(([a, b]) => at >= a && at + 240 <= b)).length,
  };
}

/** The spells, the stalls and the silences as events, in order of time. */
function trueEvents(
  script: RigScript,
  layout: Layout,
  silences: readonly (readonly [number, number])[],
  spells: readonly Spell[],
): TrueEvent[] {
  const depthAt = script.reader('depth');
  const jointAt = (t: number): string | null => {
    const depth = depthAt(t);
    for (const joint of layout.joints) {
      for (const tool of layout.recipes[joint.kind]?.tools ?? []) {
        const at = depth - layout.tools[tool]!;
        if (at >= joint.from && at < joint.to) return joint.name;
      }
    }
    return null;
  };
  const events: TrueEvent[] = spells.map((s) => ({ ...s, must: s.metres >= 0.3 && s.seconds >= 25 }));
  for (const { at, end } of script.stalls) {
    events.push({ kind: 'stall', joint: jointAt(at), from: at, to: end, must: end - at >= 45 });
  }
  for (const [a, b] of silences)
    events.push({ kind: 'data gap', joint: jointAt(a), from: a, to: b, must: b - a >= 12 });
  return events.sort((a, b) => a.from - b.from);
}

function longestRun(cells: Uint8Array, isGap: (c: number, i: number) => boolean): number {
  let longest = 0;
  let run = 0;
  cells.forEach((c, i) => {
    run = isGap(c, i) ? run + CELL_M : 0;
    longest = Math.max(longest, run);
  });
  return longest;
}

function trueJoint(
  layout: Layout,
  joint: Layout['joints'][number],
  cells: Uint8Array,
  swept: boolean,
  end: number,
): TrueJoint {
  const recipe = layout.recipes[joint.kind];
  const zero = { name: joint.name, required: 0, expanded: 0, unproven: 0, longestGap: 0, close: false };
  if (!recipe) return { ...zero, verdict: 'not planned' };
  const required = joint.to - joint.from;
  const count = (state: number) => cells.reduce((n, c) => n + (c === state ? CELL_M : 0), 0);
  const expanded = count(GOOD);
  const unproven = count(UNSEEN);
  const longestGap = longestRun(cells, (c) => c !== GOOD);
  const meets = (share: number, gap: number) => share >= 0.97 && gap <= 0.3;
  let verdict = 'short';
  let share = expanded / required;
  let gap = longestGap;
  if (!swept) verdict = 'not reached';
  else if (meets(share, gap)) verdict = 'expanded';
  else {
    for (const tool of recipe.tools) {
      const at = end - layout.tools[tool]! - joint.from;
      if (at < 0 || at >= required) continue;
      const hoped = (c: number, i: number) => c === GOOD || i * CELL_M >= at;
      const hopedGap = longestRun(cells, (c, i) => !hoped(c, i));
      const hopedShare = cells.reduce((n, c, i) => n + (hoped(c, i) ? CELL_M : 0), 0) / required;
      if (!meets(hopedShare, hopedGap)) continue;
      verdict = 'in progress';
      [share, gap] = [hopedShare, hopedGap];
    }
    if (
      verdict === 'short' &&
      meets(
        (expanded + unproven) / required,
        longestRun(cells, (c) => c === UNTOUCHED),
      )
    ) {
      verdict = 'unproven';
    }
  }
  const close = swept && (Math.abs(share - 0.97) < 0.015 || Math.abs(gap - 0.3) < 0.12);
  return { name: joint.name, required, expanded, unproven, longestGap, verdict, close };
}
