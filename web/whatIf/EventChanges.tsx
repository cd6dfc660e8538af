/** Which events come and which go between two counts of one run. */
import type { Comparison } from '../../src/replay/compareRecords.ts';
import { rigTime } from '../figures.ts';
import { job } from '../state.ts';

export function EventChanges({ comparison }: { readonly comparison: Comparison }) {
  const { eventsCome, eventsGone } = comparison;
  const offsetMs = job.value?.stream.utcOffsetMs ?? 0;
  const rows = [
    ...eventsCome.map((event) => ({ event, sign: 'comes' })),
    ...eventsGone.map((event) => ({ event, sign: 'goes' })),
  ].sort((a, b) => Date.parse(a.event.from) - Date.parse(b.event.from));
  if (rows.length === 0) return <p class="what-if-alike">No event comes or goes.</p>;
  return (
    <>
      <h3>Events</h3>
      <table class="plain" data-testid="what-if-events">
        <tbody>
          {rows.map(({ event, sign }, i) => (
            <tr key={`${sign} ${event.kind} ${event.from} ${i}`}>
              <td>{sign}</td>
              <td>{rigTime(Date.parse(event.from), offsetMs)}</td>
              <td>
                {event.kind}
                {event.joint ? ` on ${event.joint}` : ''}
              </td>
              <td>{event.detail}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}
