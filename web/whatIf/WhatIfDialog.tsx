/** "What if": changes on the left, what the run would be under them on the right, never without its label. */
import { useEffect } from 'preact/hooks';
import { emptyScenario } from '../../src/replay/scenario.ts';
import { Dialog } from '../frame/Dialog.tsx';
import { openDialog } from '../frame/dialogs.ts';
import { askDesk } from '../replay/replayer.ts';
import { AnswerPart } from './AnswerPart.tsx';
import { ChangesForm } from './ChangesForm.tsx';
import { counting, draft, keep, kept, linkOf, scenarioInAddress } from './whatIfState.ts';
import './whatIf.css';

export function WhatIfDialog() {
  const open = openDialog.value === 'what if';
  useEffect(() => {
    if (!open) return;
    const linked = scenarioInAddress();
    if (!linked) return;
    draft.value = linked;
    void count();
  }, [open]);
  return (
    <Dialog name="what if" title="What if">
      <div class="what-if">
        <div class="what-if-ask">
          <ChangesForm onCount={() => void count()} />
          <KeptList />
        </div>
        <Counted />
      </div>
    </Dialog>
  );
}

/** Asks the worker; the link in the address is that of the question that is answered. */
async function count(): Promise<void> {
  const scenario = draft.peek();
  counting.value = { kind: 'counting' };
  try {
    const answer = await askDesk({ ask: 'what if', scenario });
    if (answer.answer === 'counted') {
      counting.value = { kind: 'counted', answer: answer.counted };
      keep(scenario);
      history.replaceState(null, '', linkOf(scenario));
    } else counting.value = { kind: 'refused', why: answer.answer === 'refused' ? answer.why : 'no answer' };
  } catch (fault) {
    counting.value = { kind: 'refused', why: fault instanceof Error ? fault.message : String(fault) };
  }
}

function Counted() {
  const state = counting.value;
  switch (state.kind) {
    case 'none':
      return (
        <div class="what-if-answer is-empty">
          <p>Change something, and the whole run is counted again from its samples. The run itself stays as it is.</p>
        </div>
      );
    case 'counting':
      return (
        <div class="what-if-answer is-empty">
          <p>Counting the run again…</p>
        </div>
      );
    case 'refused':
      return (
        <div class="what-if-answer is-empty" data-testid="what-if-refused">
          <p>
            <b>It cannot be counted.</b> {state.why}
          </p>
        </div>
      );
    case 'counted':
      return <AnswerPart answer={state.answer} />;
  }
}

function KeptList() {
  if (kept.value.length === 0) return null;
  const again = (index: number): void => {
    draft.value = kept.peek()[index] ?? emptyScenario('What if');
    void count();
  };
  return (
    <section class="what-if-kept">
      <h3>Asked before</h3>
      <ul>
        {kept.value.map((scenario, index) => (
          <li key={scenario.name}>
            <button type="button" onClick={() => again(index)}>
              {scenario.name}
            </button>
            <button
              type="button"
              class="forget"
              aria-label={`Forget ${scenario.name}`}
              onClick={() => {
                kept.value = kept.peek().filter((_, i) => i !== index);
              }}
            >
              ✕
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}
