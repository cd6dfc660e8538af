/** The run as files: for other programs, on paper, and whole. */
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { EXPORT_NAMES, EXPORT_SAYS } from '../../src/export/exportNames.ts';
import type { UnitSystem } from '../../src/units.ts';
import { askForRuns, library } from '../library/libraryState.ts';
import { apiOf, recorded } from '../recorded.ts';
import { unitSystem } from '../state.ts';
import { DownloadRow } from './DownloadRow.tsx';
import './shift.css';

const SYSTEMS = ['metric', 'field'] as const satisfies readonly UnitSystem[];

export function FilesPart() {
  const units = useSignal<UnitSystem>(unitSystem.peek());
  useEffect(() => void askForRuns(), []);
  const of = (what: string): string => apiOf(`${what}?units=${units.value}`);
  return (
    <div class="files">
      <fieldset class="shift-keys" aria-label="Units of the files">
        <span>Units of the files</span>
        {SYSTEMS.map((system) => (
          <button
            key={system}
            type="button"
            aria-pressed={units.value === system}
            data-testid={`files-${system}`}
            onClick={() => (units.value = system)}
          >
            {system}
          </button>
        ))}
      </fieldset>
      <section class="shift-card" aria-label="On paper">
        <h2>On paper</h2>
        <DownloadRow name="report" says="The whole report, PDF" url={of('report.pdf')} ends="report.pdf" />
      </section>
      <section class="shift-card" aria-label="For other programs">
        <h2>For other programs</h2>
        {EXPORT_NAMES.map((name) => (
          <DownloadRow key={name} name={name} says={EXPORT_SAYS[name]} url={of(`export/${name}`)} ends={name} />
        ))}
        <p class="is-soft">The record is written in the units of its plan, whichever are chosen.</p>
      </section>
      <Archive />
    </div>
  );
}

/** A run that is not kept has no raw log that could be put away. */
function Archive() {
  const state = library.value;
  const present = state.kind === 'here' ? state.runs.present : null;
  const id = recorded.value?.id ?? present;
  return (
    <section class="shift-card" aria-label="Archive">
      <h2>Whole, for another installation</h2>
      {id === null ? (
        <p>This run is not kept in a library: there is no archive of it.</p>
      ) : (
        <DownloadRow
          name="archive"
          says="Archive, zip: raw stream, journal, plans, record, report, checksums"
          url={`/api/runs/${encodeURIComponent(id)}/archive`}
          ends="archive.zip"
        />
      )}
    </section>
  );
}
