/**
 * The scenarios that people keep beside a run, in one file of its folder, written anew with each change; without a folder
 * they are kept in memory. They change nothing in the run, its journal or its record.
 */
import { z } from 'zod/mini';
import { Fault } from '../../src/fault.ts';
import {
  KEPT_LIMITS,
  type KeptScenario,
  type KeptScenarios,
  keptScenarioSchema,
} from '../../src/replay/keptScenario.ts';
import { SCENARIO_LIMITS, type Scenario, scenarioFromText, scenarioToText } from '../../src/replay/scenario.ts';
import { type Disk, DiskError, readWhole, writeWhole } from '../keep/disk.ts';
import { schemaFaults } from '../plan/schemaFaults.ts';

export const SCENARIOS_NAME = 'scenarios.json';
export const SCENARIOS_FORMAT = 'jointwise-scenarios/1';
/** Room for the most and longest scenarios, escaped. */
export const SCENARIOS_BYTES = 2 * KEPT_LIMITS.scenarios * (SCENARIO_LIMITS.linkChars + 1024);
/** Names that stand for the run itself. */
export const NAMES_OF_THE_ORIGINAL: readonly string[] = ['original', 'as recorded', 'the original'];

const fileSchema = z.object({
  format: z.literal(SCENARIOS_FORMAT),
  /** Id of the next one. */
  next: z.int().check(z.positive()),
  scenarios: z.array(keptScenarioSchema).check(z.maxLength(KEPT_LIMITS.scenarios)),
});

export interface ScenarioFolder {
  readonly disk: Disk;
  readonly folder: string;
  readonly report: (line: string) => void;
}

/** `refused`: it clashes with what is kept. `unknown`: there is none of that id. */
export type StoreAnswer =
  | { readonly kind: 'kept'; readonly scenario: KeptScenario }
  | { readonly kind: 'removed' }
  | { readonly kind: 'refused' | 'unknown'; readonly why: string };

const sameName = (name: string): string => name.trim().toLowerCase();
const nameOf = ({ text }: KeptScenario): string => scenarioFromText(text)?.name ?? '';

export class ScenarioStore {
  readonly #at: ScenarioFolder | null;
  #next = 1;
  #scenarios: readonly KeptScenario[] = [];
  #last: Promise<unknown> = Promise.resolve();

  /** A file that cannot be used is told of in one line, set aside under another name, and not used. */
  constructor(at: ScenarioFolder | null = null) {
    this.#at = at;
    if (!at) return;
    const path = `${at.folder}/${SCENARIOS_NAME}`;
    try {
      const bytes = readWhole(at.disk, path, SCENARIOS_BYTES);
      const found: unknown = JSON.parse(Buffer.from(bytes).toString('utf8'));
      const file = fileSchema.safeParse(found);
      if (file.success) {
        this.#next = file.data.next;
        this.#scenarios = file.data.scenarios.filter(({ text }) => scenarioFromText(text) !== null);
      } else setAside(at, path, schemaFaults(file.error.issues, found)[0]!);
    } catch (error) {
      if (error instanceof SyntaxError) setAside(at, path, 'found no JSON, expected the scenarios of a run');
      else if (!(error instanceof DiskError)) throw error;
      else if (error.trouble !== 'missing') at.report(`scenarios: ${error.message}`);
    }
  }

  list(): KeptScenarios {
    return { scenarios: [...this.#scenarios], kept: this.#at ? 'run' : 'memory' };
  }

  /**
   * @param id of the one that is replaced; null: it is a new one
   * @throws Fault `cannot write`; then all is as it was
   */
  keep(id: number | null, scenario: Scenario, by: string): Promise<StoreAnswer> {
    return this.#inTurn(async () => {
      const others = this.#scenarios.filter((one) => one.id !== id);
      if (id !== null && others.length === this.#scenarios.length) return unknown(id);
      const name = sameName(scenario.name);
      if (NAMES_OF_THE_ORIGINAL.includes(name))
        return { kind: 'refused', why: `name: found "${scenario.name}", which is the run itself, expected another` };
      if (others.some((one) => sameName(nameOf(one)) === name))
        return { kind: 'refused', why: `name: found "${scenario.name}" kept already, expected another` };
      if (others.length >= KEPT_LIMITS.scenarios)
        return { kind: 'refused', why: `found ${KEPT_LIMITS.scenarios} scenarios kept, expected fewer: remove one` };
      const kept: KeptScenario = { id: id ?? this.#next, by, text: scenarioToText(scenario) };
      const scenarios =
        id === null ? [...this.#scenarios, kept] : this.#scenarios.map((one) => (one.id === id ? kept : one));
      await this.#write(id === null ? this.#next + 1 : this.#next, scenarios);
      return { kind: 'kept', scenario: kept };
    });
  }

  /** @throws Fault `cannot write`; then all is as it was */
  remove(id: number): Promise<StoreAnswer> {
    return this.#inTurn(async () => {
      const rest = this.#scenarios.filter((one) => one.id !== id);
      if (rest.length === this.#scenarios.length) return unknown(id);
      await this.#write(this.#next, rest);
      return { kind: 'removed' };
    });
  }

  #inTurn(work: () => Promise<StoreAnswer>): Promise<StoreAnswer> {
    const outcome = this.#last.then(work);
    this.#last = outcome.catch(() => undefined);
    return outcome;
  }

  async #write(next: number, scenarios: readonly KeptScenario[]): Promise<void> {
    if (this.#at) {
      const { disk, folder } = this.#at;
      const text = JSON.stringify({ format: SCENARIOS_FORMAT, next, scenarios });
      try {
        await writeWhole(disk, folder, SCENARIOS_NAME, Buffer.from(text));
      } catch (error) {
        if (error instanceof DiskError) throw new Fault('cannot write', error.message);
        throw error;
      }
    }
    this.#next = next;
    this.#scenarios = scenarios;
  }
}

const unknown = (id: number): StoreAnswer => ({
  kind: 'unknown',
  why: `id: found ${id}, expected a scenario that is kept`,
});

function setAside({ disk, report }: ScenarioFolder, path: string, why: string): void {
  report(`${path}: ${why}; it is set aside as ${path}.unusable`);
  try {
    disk.rename(path, `${path}.unusable`);
  } catch (error) {
    if (!(error instanceof DiskError)) throw error;
    report(`${path}: ${error.message}`);
  }
}
