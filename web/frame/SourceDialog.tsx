/** How the source fares: what came, what was refused and why, what nobody reads. */
import type { LeftOutState } from '../../src/live/messages.ts';
import { decimal, offsetLabel, rigDate, rigTime } from '../figures.ts';
import { ingest, job, notWorkedOut, refusedMessages } from '../state.ts';
import { LINK_SAYINGS } from '../status/statusWords.ts';
import { Dialog } from './Dialog.tsx';
import { recordingWords } from './recordingWords.ts';

export function SourceDialog() {
  return (
    <Dialog name="source" title="Source">
      <SourceCounts />
    </Dialog>
  );
}

/** Our clock, told as the clock of the rig is. */
function ourTime(ms: number): string {
  const offsetMs = job.value?.stream.utcOffsetMs ?? 0;
  return `${rigDate(ms, offsetMs)} ${rigTime(ms, offsetMs)} ${offsetLabel(offsetMs)}`;
}

function SourceCounts() {
  const state = ingest.value;
  if (!state) return <p>The service has not said anything yet.</p>;
  const reasons = Object.entries(state.rejected);
  return (
    <>
      <p>
        <b>{state.source}</b>: {LINK_SAYINGS[state.link]}
        {state.linkDetail && state.linkDetail !== state.source && `, ${state.linkDetail}`}
      </p>
      <p data-testid="recording">{recordingWords(state.recording, ourTime)}</p>
      {state.leftOut && <LeftOutPlaces leftOut={state.leftOut} />}
      <dl class="counts">
        <Count label="Bytes" value={state.bytes} />
        <Count label="Frames" value={state.frames} />
        <Count label="Samples" value={state.samples} />
        {refusedMessages.value > 0 && <Count label="Refused by this page" value={refusedMessages.value} />}
      </dl>
      <h3>Refused</h3>
      {reasons.length === 0 && <p>Nothing was refused.</p>}
      <table class="plain">
        <tbody>
          {reasons.map(([reason, count]) => (
            <tr key={reason}>
              <td>{reason}</td>
              <td class="number">{decimal(count, 0)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <h3>Not worked out</h3>
      {notWorkedOut.value.length === 0 && <p>Everything that the plan asks for is worked out.</p>}
      <ul data-testid="not-worked-out">
        {notWorkedOut.value.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      <h3>Items that feed no channel</h3>
      {state.unknownCodes.length === 0 && <p>Every item feeds a channel.</p>}
      {state.unknownCodes.length > 0 && (
        <table class="plain">
          <thead>
            <tr>
              <th>Item</th>
              <th class="number">Times</th>
              <th>Last text</th>
            </tr>
          </thead>
          <tbody>
            {state.unknownCodes.map(({ code, count, last }) => (
              <tr key={code}>
                <td>{code}</td>
                <td class="number">{decimal(count, 0)}</td>
                <td>{last}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </>
  );
}

/** Never used, and a hole in what is shown: between which instants it lies, where that is known. */
function LeftOutPlaces({ leftOut: { count, places } }: { readonly leftOut: LeftOutState }) {
  const offsetMs = job.value?.stream.utcOffsetMs ?? 0;
  const instant = (ms: number) => `${rigDate(ms, offsetMs)} ${rigTime(ms, offsetMs)}`;
  return (
    <>
      <h3>Left out, damaged on the disk</h3>
      <ul data-testid="left-out">
        {places.map(({ line, fromMs, toMs }, i) => (
          <li key={i}>
            {line}
            {fromMs !== null && `, behind ${instant(fromMs)}`}
            {toMs !== null && `, before ${instant(toMs)}`}
          </li>
        ))}
        {count > places.length && <li>{decimal(count - places.length, 0)} more</li>}
      </ul>
    </>
  );
}

function Count({ label, value }: { readonly label: string; readonly value: number }) {
  return (
    <div>
      <dt>{label}</dt>
      <dd>{decimal(value, 0)}</dd>
    </div>
  );
}
