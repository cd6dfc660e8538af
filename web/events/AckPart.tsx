/** Whether somebody has acknowledged an event, who and when: told apart by words and by shape; and the button that does it. */
import type { EventState } from '../../src/live/messages.ts';
import { rigTime } from '../figures.ts';
import { isReplay } from '../replay/replayState.ts';
import { job } from '../state.ts';
import { acknowledge } from './acknowledging.ts';
import { type AckState, ackState } from './eventWords.ts';

/** A full flag waits, an empty one waited and is over, a tick is done. */
const SHAPES: Readonly<Record<AckState, string>> = {
  'not acknowledged': 'M3 1v14M3 2h10l-3 3.500l3 3.500h-10z',
  'ended, not acknowledged': 'M3 1v14M3 2h10l-3 3.500l3 3.500h-10z',
  acknowledged: 'M2 8.500l4 4l8-9',
};

export function AckPart({ event }: { readonly event: EventState }) {
  const state = ackState(event);
  const by = event.acknowledged;
  return (
    <span class={`ack ack-${state.replaceAll(/[ ,]+/g, '-')}`} data-testid="ack" data-ack={state}>
      <svg class="ack-sign" viewBox="0 0 16 16" width="14" height="14" aria-hidden="true">
        <path d={SHAPES[state]} />
      </svg>{' '}
      {by ? (
        <span>
          acknowledged by {by.by}, {rigTime(by.atMs, job.value?.stream.utcOffsetMs ?? 0)}
          {by.reason !== '' && `: ${by.reason}`}
        </span>
      ) : (
        <span>{event.toMs !== null && <span class="aloud">ended, </span>}not acknowledged</span>
      )}
      {!by && !isReplay.value && (
        <button
          type="button"
          class="ack-button"
          data-testid="acknowledge"
          aria-label={`Acknowledge ${event.kind}`}
          onClick={() => void acknowledge(event)}
        >
          Acknowledge
        </button>
      )}
    </span>
  );
}
