/** What is wrong now and what to look at first; below, dimmer, what lately was. */
import { useComputed, useSignal } from '@preact/signals';
import { WELL_CONTROL_CAUTION } from '../../src/events.ts';
import type { EventState } from '../../src/live/messages.ts';
import { inUnits } from '../../src/measuredText.ts';
import { decimal } from '../figures.ts';
import { Mark } from '../Mark.tsx';
import { events, freshness, job, unitSystem } from '../state.ts';
import { AckPart } from './AckPart.tsx';
import { CLOSED_SHOWN, eventLists, eventName, eventPlace, ofKind, PRIORITY_SAYINGS } from './eventWords.ts';

export function EventList() {
  const all = useSignal(false);
  const lists = useComputed(() => eventLists(events.value, all.value ? Number.POSITIVE_INFINITY : CLOSED_SHOWN));
  const { open, closed } = lists.value;
  const known = events.value.length;
  const waits = known - open.length - closed.length;
  return (
    <section class="panel events" aria-label="Events">
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keyboard */}
      <div class="scroller" tabIndex={0}>
        {open.length === 0 && (
          <p class="nothing" data-testid="no-events">
            <NothingOpen />
          </p>
        )}
        {open.length > 2 && <h2 data-testid="open-count">{open.length} open</h2>}
        <ul>
          {open.map((event) => (
            <Open key={event.id} event={event} />
          ))}
        </ul>
        {closed.length > 0 && <h2>Closed</h2>}
        <ul class="closed">
          {closed.map((event) => (
            <Closed key={event.id} event={event} />
          ))}
        </ul>
        {(waits > 0 || all.value) && (
          <button type="button" class="closed-more" data-testid="closed-more" onClick={() => (all.value = !all.value)}>
            {all.value ? 'Show the newest' : `Show ${decimal(waits, 0)} more that are closed`}
          </button>
        )}
        {all.value && <OlderEvents known={known} />}
      </div>
    </section>
  );
}

/** Events are numbered without a hole: the page lets go of the oldest. */
function OlderEvents({ known }: { readonly known: number }) {
  const older = (events.value[0] ? Math.max(...events.value.map(({ id }) => id)) : 0) - known;
  if (older <= 0) return null;
  return <p class="event-detail">{decimal(older, 0)} older ones are in the record.</p>;
}

/** With old data nobody knows what has opened since. */
function NothingOpen() {
  const { kind } = freshness.value;
  if (kind === 'fresh') return <>Nothing open.</>;
  return <>{kind === 'nothing yet' ? 'No events yet.' : 'Nothing was open when the data stopped.'}</>;
}

interface EventProps {
  readonly event: EventState;
}

const rigOffsetMs = (): number => job.value?.stream.utcOffsetMs ?? 0;

function Open({ event }: EventProps) {
  const { lookFirst, mayAlsoBe, ranksFirst } = ofKind(event);
  return (
    <li class={`event event-${event.priority}`} data-testid="event-open" data-kind={event.kind}>
      <Mark name={event.priority} size={30} />
      <div>
        <p class="event-head">
          <b>{eventName(event)}</b>{' '}
          <span class="event-place">{eventPlace(event, unitSystem.value, rigOffsetMs())}</span>
          <span class="event-priority">{PRIORITY_SAYINGS[event.priority]}</span>
        </p>
        {ranksFirst && !lookFirst.includes(WELL_CONTROL_CAUTION) && <p class="event-caution">{WELL_CONTROL_CAUTION}</p>}
        <p class={`event-first${ranksFirst ? ' is-first-of-all' : ''}`}>{lookFirst}</p>
        {event.detail && <p class="event-detail">{inUnits(event.detail, unitSystem.value)}</p>}
        {mayAlsoBe && <p class="event-detail">May also be: {mayAlsoBe}.</p>}
        <AckPart event={event} />
      </div>
    </li>
  );
}

function Closed({ event }: EventProps) {
  return (
    <li data-testid="event-closed" data-kind={event.kind}>
      <Mark name={event.priority} size={14} /> <b>{eventName(event)}</b>{' '}
      <span>{eventPlace(event, unitSystem.value, rigOffsetMs())}</span> <AckPart event={event} />
    </li>
  );
}
