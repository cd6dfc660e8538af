/**
 * A question asked of a run: what if this had been the plan, or the depth? It has a name, so that its answer is never taken
 * for the run's own record, and fits into a link.
 */
import type { TagPolicy } from '../pipeline/tagStep.ts';
import { type PlanProblem, planProblems } from '../plan/job.ts';
import type { Plan } from '../plan/planSchema.ts';
import { CHANGES, type ChangeKind, lengthChange } from './changes.ts';

export interface Scenario {
  readonly name: string;
  /** By name of the change (`CHANGES`), in the plan's units. */
  readonly bounds: Readonly<Record<string, number>>;
  /** By name of the joint, in the plan's units. */
  readonly lengths: Readonly<Record<string, number>>;
  /** Added to every depth of the string, whatever else corrects it, in the plan's units. */
  readonly shift: number;
  /** The depth correction from the first sample to the last, in place of those that were made; null: as they were made. */
  readonly correction: number | null;
  /** Null: as on the run. */
  readonly tag: TagPolicy | null;
}

export const SCENARIO_LIMITS = {
  nameChars: 80,
  /** Bounds and lengths together. */
  changes: 200,
  /** Shift and correction, m or ft. */
  depth: 1000,
  linkChars: 8000,
} as const;

export const emptyScenario = (name: string): Scenario => ({
  name,
  bounds: {},
  lengths: {},
  shift: 0,
  correction: null,
  tag: null,
});

const entriesOf = (scenario: Scenario): [ChangeKind | undefined, string, number][] => [
  ...Object.entries(scenario.bounds).map(([name, value]): [ChangeKind | undefined, string, number] => [
    CHANGES.get(name),
    name,
    value,
  ]),
  ...Object.entries(scenario.lengths).map(([joint, value]): [ChangeKind, string, number] => [
    lengthChange(joint),
    `length of ${joint}`,
    value,
  ]),
];

/** The plan with the changes of a scenario; those that it has no place for leave it as it is. */
export function changedPlan(plan: Plan, scenario: Scenario): Plan {
  let changed = plan;
  for (const [kind, , value] of entriesOf(scenario)) if (kind) changed = kind.with(changed, value);
  return changed;
}

/** What speaks against asking it of this plan; empty: nothing. */
export function scenarioProblems(plan: Plan, scenario: Scenario): PlanProblem[] {
  const problems: PlanProblem[] = [];
  const add = (path: string, text: string) => problems.push({ path, text });
  const entries = entriesOf(scenario);
  if (entries.length > SCENARIO_LIMITS.changes)
    add('changes', `found ${entries.length}, expected at most ${SCENARIO_LIMITS.changes}`);
  for (const [kind, name, value] of entries) {
    if (!kind) add(name, 'found a change that is not known');
    else if (!(value >= kind.least && value <= kind.most)) {
      add(name, `found ${value}, expected a number from ${kind.least} to ${kind.most}`);
    }
  }
  for (const joint of Object.keys(scenario.lengths)) {
    if (!plan.liner.joints.some(({ name }) => name === joint))
      add(`length of ${joint}`, 'found no such joint in the plan');
  }
  for (const [name, value] of [
    ['shift', scenario.shift],
    ['correction', scenario.correction ?? 0],
  ] as const) {
    if (!(Math.abs(value) <= SCENARIO_LIMITS.depth))
      add(name, `found ${value}, expected at most ${SCENARIO_LIMITS.depth} either way`);
  }
  return problems.length > 0 ? problems : planProblems(changedPlan(plan, scenario));
}

/** Every change in words, with what the plan says: for the label that stands wherever an answer is shown. */
export function scenarioWords(plan: Plan, scenario: Scenario): string[] {
  const words = entriesOf(scenario).map(([kind, name, value]) => {
    const was = kind?.of(plan);
    return `${kind?.label ?? name}: ${value}${was === undefined ? '' : ` (plan ${was})`}`;
  });
  const sign = (value: number): string => `${value > 0 ? '+' : ''}${value}`;
  if (scenario.shift !== 0) words.push(`Whole depth shifted by ${sign(scenario.shift)}`);
  if (scenario.correction !== null) words.push(`Depth correction ${sign(scenario.correction)} throughout`);
  if (scenario.tag !== null) words.push(scenario.tag === 'apply' ? 'Depth tag applied' : 'Depth tag not applied');
  return words;
}

const PREFIXES = { bounds: 'b.', lengths: 'l.' } as const;

/** As the part of a link: `name=…&b.screen pressure min=8000&shift=0.5`. */
export function scenarioToText(scenario: Scenario): string {
  const pairs: [string, string][] = [['name', scenario.name]];
  for (const part of ['bounds', 'lengths'] as const) {
    for (const [name, value] of Object.entries(scenario[part])) pairs.push([PREFIXES[part] + name, String(value)]);
  }
  if (scenario.shift !== 0) pairs.push(['shift', String(scenario.shift)]);
  if (scenario.correction !== null) pairs.push(['correction', String(scenario.correction)]);
  if (scenario.tag !== null) pairs.push(['tag', scenario.tag]);
  return pairs.map((pair) => pair.map(encodeURIComponent).join('=')).join('&');
}

/** Null for a text that is no scenario. */
export function scenarioFromText(text: string): Scenario | null {
  if (text.length > SCENARIO_LIMITS.linkChars) return null;
  const bounds: Record<string, number> = {};
  const lengths: Record<string, number> = {};
  let read = emptyScenario('');
  for (const part of text.split('&')) {
    const pair = decodedPair(part);
    if (!pair) return null;
    const [key, said] = pair;
    const value = said.trim() === '' ? Number.NaN : Number(said);
    if (key === 'name') read = { ...read, name: said.slice(0, SCENARIO_LIMITS.nameChars) };
    else if (key === 'tag') {
      if (said !== 'apply' && said !== 'offer') return null;
      read = { ...read, tag: said };
    } else if (!Number.isFinite(value)) return null;
    else if (key === 'shift') read = { ...read, shift: value };
    else if (key === 'correction') read = { ...read, correction: value };
    else if (key.startsWith(PREFIXES.bounds)) put(bounds, key.slice(PREFIXES.bounds.length), value);
    else if (key.startsWith(PREFIXES.lengths)) put(lengths, key.slice(PREFIXES.lengths.length), value);
    else return null;
  }
  return read.name === '' ? null : { ...read, bounds, lengths };
}

/** Names come from outside: one that an object has of its own is an entry like any other. */
function put(into: Record<string, number>, name: string, value: number): void {
  Object.defineProperty(into, name, { value, enumerable: true, writable: true, configurable: true });
}

function decodedPair(part: string): [string, string] | null {
  const at = part.indexOf('=');
  if (at <= 0) return null;
  try {
    return [decodeURIComponent(part.slice(0, at)), decodeURIComponent(part.slice(at + 1))];
  } catch (fault) {
    if (fault instanceof URIError) return null;
    throw fault;
  }
}
