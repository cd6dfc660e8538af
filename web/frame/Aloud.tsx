/** For those who listen: a change of phase or judgement in turn, a high-priority event at once. */
import { useComputed } from '@preact/signals';
import { EVENTS } from '../../src/events.ts';
import { eventLists, eventName } from '../events/eventWords.ts';
import { isReplay } from '../replay/replayState.ts';
import { events, freshness, ingest, job, now } from '../state.ts';
import { blindWords, judgementWords, phaseSentence } from '../status/statusWords.ts';

export function Aloud() {
  const polite = useComputed(() => {
    const state = now.value;
    if (!state || isReplay.value) return '';
    const blind = blindWords(freshness.value, ingest.value);
    if (blind) return blind.headline;
    const joint = state.joint !== null ? (job.value?.joints[state.joint]?.name ?? null) : null;
    const { headline, detail } = judgementWords(state);
    return `${phaseSentence(state, joint)}. ${headline}: ${detail}`;
  });
  const urgent = useComputed(() => {
    const event = isReplay.value ? undefined : eventLists(events.value).open[0];
    if (event?.priority !== 'high') return '';
    return `${eventName(event)}${event.joint ? ` on ${event.joint}` : ''}. ${EVENTS[event.kind].lookFirst}`;
  });
  return (
    <div class="aloud">
      <p aria-live="polite">{polite}</p>
      <p aria-live="assertive">{urgent}</p>
    </div>
  );
}
