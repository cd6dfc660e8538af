/** Makes the recorded demo job anew from its plan and scenario; the same bytes for the same seed. */
import { readFile, rename, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Plan } from '../../src/plan/planSchema.ts';
import { planSchema } from '../../src/plan/planSchema.ts';
import { type Scenario, scenarioSchema } from './scenario.ts';
import { streamBytes, streamTrip } from './tripStream.ts';
import type { Truth } from './truth.ts';

export const REPLAY_FILES = {
  plan: 'demo-plan.json',
  scenario: 'demo-scenario.json',
  stream: 'demo.wits',
  truth: 'demo-truth.json',
} as const;

export interface ReplayData {
  readonly plan: Plan;
  readonly scenario: Scenario;
  readonly stream: Uint8Array;
  readonly truth: Truth;
}

const readJson = async (path: string): Promise<object> => JSON.parse(await readFile(path, 'utf8')) as object;

/** @param folder holds the demo's plan and scenario. */
export async function makeReplayData(folder: string): Promise<ReplayData> {
  const plan = planSchema.parse(await readJson(join(folder, REPLAY_FILES.plan)));
  const scenario = scenarioSchema.parse(await readJson(join(folder, REPLAY_FILES.scenario)));
  const { frames, truth } = streamTrip(scenario, plan);
  return { plan, scenario, stream: streamBytes(frames), truth };
}

export const truthText = (truth: Truth): string => `${JSON.stringify(truth, null, 1)}\n`;

/** Writes the stream and its truth beside the plan and scenario; each whole or not at all. */
export async function writeReplayData(folder: string): Promise<ReplayData> {
  const data = await makeReplayData(folder);
  for (const [name, content] of [
    [REPLAY_FILES.stream, data.stream],
    [REPLAY_FILES.truth, truthText(data.truth)],
  ] as const) {
    const path = join(folder, name);
    await writeFile(`${path}.part`, content);
    await rename(`${path}.part`, path);
  }
  return data;
}
