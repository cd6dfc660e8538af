/** Which two stand beside each other, how they are looked at, and the answer: as it stands in the address. */
import { type Signal, signal } from '@preact/signals';
import { z } from 'zod/mini';
import { recorded, runHash } from '../recorded.ts';
import { askService, fetchCourse, fetchSamples } from '../replay/fetchCourse.ts';
import { askDesk } from '../replay/replayer.ts';
import { ingest } from '../state.ts';
import type { Beside, SideAsked } from '../worker/replayProtocol.ts';
import { BESIDE_HASH, besideIn } from './besideHash.ts';
import { keptOnes } from './keptScenarios.ts';

/** `original`, `s` and the id of a kept scenario, `r` and the id of a run of the library. */
export type SideName = string;
export const ORIGINAL: SideName = 'original';

export const BESIDE_VIEWS = ['depth', 'joint'] as const;
export type BesideView = (typeof BESIDE_VIEWS)[number];

export interface Wanted {
  readonly a: SideName;
  readonly b: SideName;
  readonly view: BesideView;
}
export const wanted: Signal<Wanted> = signal<Wanted>({ a: ORIGINAL, b: ORIGINAL, view: 'depth' });

export interface OtherRun {
  readonly id: string;
  readonly name: string;
}
/** Runs of the library beside the one that is watched. */
export const otherRuns: Signal<readonly OtherRun[]> = signal<readonly OtherRun[]>([]);

export type Placed =
  | { readonly kind: 'choosing' }
  | { readonly kind: 'working' }
  | { readonly kind: 'here'; readonly asked: readonly [SideAsked, SideAsked]; readonly beside: Beside }
  | { readonly kind: 'refused'; readonly why: string };
export const placed: Signal<Placed> = signal<Placed>({ kind: 'choosing' });

const runsSchema = z.object({ runs: z.array(z.object({ id: z.string(), name: z.string(), records: z.number() })) });

export async function refreshRuns(): Promise<void> {
  const { runs } = runsSchema.parse(await (await askService('/api/runs')).json());
  const recording = ingest.peek()?.recording;
  const watched = recording && recording.state !== 'not kept' ? recording.run : null;
  otherRuns.value = runs.filter(({ id, records }) => id !== watched && records > 0);
}

/** How a side is called wherever it is shown; a scenario never without its label. */
export function sideWords(side: SideName): string {
  if (side === ORIGINAL) return 'As recorded';
  const id = side.slice(1);
  if (side.startsWith('s')) return `What if: ${scenarioOf(side)?.name ?? 'no longer kept'}`;
  const run = otherRuns.value.find((one) => one.id === id);
  return `Run ${run?.name || id}`;
}

export const isScenario = (side: SideName): boolean => side.startsWith('s');

const scenarioOf = (side: SideName) => keptOnes.value.find(({ id }) => `s${id}` === side)?.scenario;

export function besideLink({ a, b, view }: Wanted): string {
  const run = recorded.peek();
  const text = `a=${encodeURIComponent(a)}&b=${encodeURIComponent(b)}&by=${view}`;
  return run ? `${runHash(run.id)}&${BESIDE_HASH.slice(1)}${text}` : BESIDE_HASH + text;
}

const SIDE = /^(?:original|s[1-9]\d{0,8}|r[0-9a-z][0-9a-z-]{0,63})$/;

/** Null: the address names no two that could be meant. */
export function besideInAddress(): Wanted | null {
  const text = besideIn(location.hash);
  if (text === null) return null;
  const said = new URLSearchParams(text);
  const [a, b] = [said.get('a') ?? '', said.get('b') ?? ''];
  return SIDE.test(a) && SIDE.test(b) ? { a, b, view: said.get('by') === 'joint' ? 'joint' : 'depth' } : null;
}

/** Runs that the worker holds, as it gives them up: the oldest first. */
let held: readonly string[] = [];
const RUNS_HELD = 2;

async function askedOf(side: SideName): Promise<SideAsked> {
  if (side === ORIGINAL) return { kind: 'original' };
  if (isScenario(side)) {
    const scenario = scenarioOf(side);
    if (!scenario) throw new Error('that scenario is no longer kept');
    return { kind: 'scenario', scenario };
  }
  const run = side.slice(1);
  if (!held.includes(run)) {
    const course = await fetchCourse(run);
    const answer = await askDesk({ ask: 'hold', run, course, bytes: await fetchSamples(0, run) });
    if (answer.answer === 'refused') throw new Error(answer.why);
    held = [...held, run].slice(-RUNS_HELD);
  }
  return { kind: 'run', run };
}

let turn = 0;

/** Puts the two that are wanted beside each other; of several that are asked for the last counts. */
export async function placeBeside(): Promise<void> {
  const { a, b } = wanted.peek();
  turn += 1;
  const mine = turn;
  placed.value = { kind: a === b ? 'choosing' : 'working' };
  if (a === b) return;
  let next: Placed;
  try {
    const asked = [await askedOf(a), await askedOf(b)] as const;
    const answer = await askDesk({ ask: 'beside', a: asked[0], b: asked[1] });
    next =
      answer.answer === 'beside'
        ? { kind: 'here', asked, beside: answer.beside }
        : { kind: 'refused', why: answer.answer === 'refused' ? answer.why : 'no answer' };
  } catch (fault) {
    next = { kind: 'refused', why: fault instanceof Error ? fault.message : String(fault) };
  }
  if (mine === turn) placed.value = next;
}
