/** "What if": changes on the left, what the run would be under them on the right, never without its label. */
import { useEffect } from 'preact/hooks';
import { KEPT_EVERY_MS, keptFault, refreshKept } from '../beside/keptScenarios.ts';
import { Dialog } from '../frame/Dialog.tsx';
import { openDialog } from '../frame/dialogs.ts';
import { recorded } from '../recorded.ts';
import { AnswerPart } from './AnswerPart.tsx';
import { ChangesForm } from './ChangesForm.tsx';
import { KeptList } from './KeptList.tsx';
import { begin, count, counting, scenarioInAddress } from './whatIfState.ts';
import './whatIf.css';

export function WhatIfDialog() {
  const open = openDialog.value === 'what if';
  useEffect(() => {
    if (!open) return;
    void refreshKept();
    const refreshing = setInterval(() => void refreshKept(), KEPT_EVERY_MS);
    const linked = scenarioInAddress();
    if (linked) {
      begin(linked, null);
      void count();
    }
    return () => clearInterval(refreshing);
  }, [open, recorded.value]);
  return (
    <Dialog name="what if" title="What if">
      <div class="what-if">
        <div class="what-if-ask">
          <p role="status" class="keep-fault" data-testid="keep-fault">
            {keptFault.value && `Not done: ${keptFault.value}`}
          </p>
          <KeptList />
          <ChangesForm onCount={() => void count()} />
        </div>
        <Counted />
      </div>
    </Dialog>
  );
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
