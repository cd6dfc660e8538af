/** The scenarios that are kept beside the run for everyone: asked of the service, changed through it. */
import { type Signal, signal } from '@preact/signals';
import { z } from 'zod/mini';
import { type KeptScenarios, keptScenariosSchema } from '../../src/replay/keptScenario.ts';
import { type Scenario, scenarioFromText, scenarioToText } from '../../src/replay/scenario.ts';
import { viewerName } from '../preferences.ts';
import { apiOf } from '../recorded.ts';
import { askService } from '../replay/fetchCourse.ts';

export interface KeptOne {
  readonly id: number;
  readonly by: string;
  readonly scenario: Scenario;
}

/** In the order in which they were kept. */
export const keptOnes: Signal<readonly KeptOne[]> = signal<readonly KeptOne[]>([]);
export const keptWhere: Signal<KeptScenarios['kept']> = signal<KeptScenarios['kept']>('run');
/** Why the last question to the service came to nothing; empty: it did not. */
export const keptFault = signal('');

/** While a list of them is looked at, ms: others add to it. */
export const KEPT_EVERY_MS = 5_000;

async function trying(work: () => Promise<void>): Promise<boolean> {
  try {
    await work();
    keptFault.value = '';
    return true;
  } catch (fault) {
    keptFault.value = fault instanceof Error ? fault.message : String(fault);
    return false;
  }
}

export const refreshKept = (): Promise<boolean> =>
  trying(async () => {
    const { scenarios, kept } = keptScenariosSchema.parse(await (await askService(apiOf('scenarios'))).json());
    keptWhere.value = kept;
    keptOnes.value = scenarios.flatMap(({ id, by, text }) => {
      const scenario = scenarioFromText(text);
      return scenario ? [{ id, by, scenario }] : [];
    });
  });

const idSchema = z.object({ id: z.number() });

/** @param id of the one that is to be another; null: a new one @returns its id; null: it is not kept, `keptFault` says why */
export async function keepScenario(id: number | null, scenario: Scenario): Promise<number | null> {
  let given: number | null = null;
  const body = { ...(id === null ? {} : { id }), by: viewerName.peek().trim(), text: scenarioToText(scenario) };
  await trying(async () => {
    given = idSchema.parse(await (await askService(apiOf('scenarios/keep'), body)).json()).id;
  });
  if (given !== null) await refreshKept();
  return given;
}

export async function removeScenario(id: number): Promise<void> {
  if (await trying(async () => void (await askService(apiOf('scenarios/remove'), { id })))) await refreshKept();
}
