/** The scenarios of every run that is looked at: of a run of the library in its folder, of one that is not kept in memory. */
import { nodeDisk } from '../keep/nodeDisk.ts';
import { runFolder } from '../keep/runLibrary.ts';
import type { LiveRun } from '../live/liveRun.ts';
import { ScenarioStore } from './scenarioStore.ts';

export interface ScenarioLibrary {
  readonly data: string;
  readonly report: (line: string) => void;
}

export class ScenarioStores {
  readonly #library: ScenarioLibrary | undefined;
  readonly #inMemory = new ScenarioStore();
  /** By id of the run: each is read once, and no larger than its file may be. */
  readonly #ofRuns = new Map<string, ScenarioStore>();

  /** @param library left out: no run is kept */
  constructor(library?: ScenarioLibrary) {
    this.#library = library;
  }

  of(live: Pick<LiveRun, 'ingest'>): ScenarioStore {
    const { recording } = live.ingest();
    if (!this.#library || recording.state === 'not kept') return this.#inMemory;
    const { data, report } = this.#library;
    let store = this.#ofRuns.get(recording.run);
    if (!store) {
      store = new ScenarioStore({ disk: nodeDisk, folder: runFolder(data, recording.run), report });
      this.#ofRuns.set(recording.run, store);
    }
    return store;
  }
}
