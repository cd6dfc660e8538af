/** Every step of the trip that evidence speaks of, newest first, with its outcome and its numbers. */
import type { Step } from '../../src/steps.ts';
import { Dialog } from '../frame/Dialog.tsx';
import { Mark } from '../Mark.tsx';
import { job, steps, unitSystem } from '../state.ts';
import { BallEntry } from './BallEntry.tsx';
import { numberInWords, OUTCOME_SAYINGS, OUTCOME_SIGNS, stepDetail, stepTime, stepTitle } from './stepWords.ts';

export function StepsDialog() {
  return (
    <Dialog name="steps" title="Steps">
      <BallEntry />
      <StepList />
    </Dialog>
  );
}

function StepList() {
  const all = steps.value;
  if (all.length === 0) return <p>No ball, pressure step, test, release or depth tag has been seen on this run.</p>;
  return (
    <ul class="steps">
      {[...all].reverse().map((step) => (
        <OneStep key={step.id} step={step} />
      ))}
    </ul>
  );
}

function OneStep({ step }: { readonly step: Step }) {
  const system = unitSystem.value;
  return (
    <li class={`step step-${step.outcome.replace(' ', '-')}`} data-testid="step" data-outcome={step.outcome}>
      <Mark name={OUTCOME_SIGNS[step.outcome]} size={26} />
      <div>
        <p class="step-head">
          <b>{stepTitle(step)}</b> <span class="step-outcome">{OUTCOME_SAYINGS[step.outcome]}</span>{' '}
          <span class="step-time">{stepTime(step, job.value?.stream.utcOffsetMs ?? 0)}</span>
        </p>
        {step.detail !== '' && <p>{stepDetail(step.detail, system)}</p>}
        <dl class="step-numbers">
          {step.numbers.map((number) => (
            <div key={number.name}>
              <dt>{number.name}</dt>
              <dd>{numberInWords(number, system)}</dd>
            </div>
          ))}
        </dl>
      </div>
    </li>
  );
}
