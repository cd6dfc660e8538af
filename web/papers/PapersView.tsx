/** The papers of the run that is looked at: a list of parts, and the one that was chosen. */
import { useEffect, useRef } from 'preact/hooks';
import { recorded } from '../recorded.ts';
import { job } from '../state.ts';
import { papersAt } from './papersAddress.ts';
import { PAPERS_PARTS } from './papersParts.ts';
import { askAnew, choose } from './papersState.ts';
import { SignDialog } from './SignDialog.tsx';
import './papers.css';

export function PapersView() {
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => title.current?.focus(), []);
  const { part: key } = papersAt.value;
  const { Part, name } = PAPERS_PARTS.find((one) => one.key === key) ?? PAPERS_PARTS[0]!;
  const run = recorded.value;
  return (
    <section class="papers" aria-label="Papers of the run" data-testid="papers">
      <header class="papers-head">
        <h1 ref={title} tabIndex={-1}>
          Papers
        </h1>
        <nav class="papers-parts" aria-label="Parts of the papers">
          {PAPERS_PARTS.map((one) => (
            <button
              key={one.key}
              type="button"
              aria-current={one.name === name ? 'page' : undefined}
              data-testid={`papers-${one.key}`}
              onClick={() => choose({ part: one.key, of: '' })}
            >
              {one.name}
            </button>
          ))}
        </nav>
        <p class="papers-run">{run ? `Recorded run ${run.name}` : (job.value?.well ?? '')}</p>
        {!run && (
          <button
            type="button"
            data-testid="papers-anew"
            onClick={askAnew}
            title="Drawn again, up to the newest sample"
          >
            Bring up to date
          </button>
        )}
      </header>
      <div class="papers-body" key={`${run?.id ?? ''} ${name}`}>
        <Part />
      </div>
      <SignDialog />
    </section>
  );
}
