/** Balls of the plan that have not been let go yet: no reading can tell, so a person does. */
import { NameField } from '../journal/NameField.tsx';
import { SendingAnswer } from '../journal/SendingAnswer.tsx';
import { useSending } from '../journal/sending.ts';
import { viewerName } from '../preferences.ts';
import { job, steps } from '../state.ts';

export function BallEntry() {
  const [sending, send] = useSending();
  const gone = new Set(
    steps.value
      .filter(({ kind, outcome }) => kind === 'ball' && (outcome === 'open' || outcome === 'passed'))
      .map(({ name }) => name),
  );
  const waiting = job.value?.engineering.balls.filter(({ name }) => !gone.has(name)) ?? [];
  if (waiting.length === 0) return null;
  const submit = (event: SubmitEvent) => {
    event.preventDefault();
    const ball = event.submitter instanceof HTMLButtonElement ? event.submitter.value : '';
    if (ball !== '') void send({ action: 'drop ball', by: viewerName.peek().trim(), ball });
  };
  return (
    <form class="ball-entry" onSubmit={submit}>
      <NameField testid="ball-by" focused={false} />
      <div class="ball-buttons">
        {waiting.map(({ name }) => (
          <button key={name} type="submit" value={name} class="confirm" data-testid={`ball-${name}`}>
            {name}: let go now
          </button>
        ))}
      </div>
      <SendingAnswer sending={sending.value} />
    </form>
  );
}
