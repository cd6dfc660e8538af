/** A stretch of time and why it was lost, to the second; or that it was not lost after all. */
import { useSignal } from '@preact/signals';
import type { TimeSheet, TimeStretch } from '../../src/time/timeSheetSchema.ts';
import { rigDate, rigTime } from '../figures.ts';
import { NameField } from '../journal/NameField.tsx';
import { SendingAnswer } from '../journal/SendingAnswer.tsx';
import { useSending } from '../journal/sending.ts';
import { viewerName } from '../preferences.ts';
import { askAnew } from './papersState.ts';
import { rigInstant } from './rigInstant.ts';

interface CauseProps {
  readonly codes: TimeSheet['codes'];
  readonly from: string;
  readonly to: string;
  readonly lost: TimeStretch['lost'];
  /** Rig time less UTC. */
  readonly offsetMs: number;
  readonly done: () => void;
}

const NOT_LOST = '';

export function CauseForm({ codes, from, to, lost, offsetMs, done }: CauseProps) {
  const written = (text: string): string =>
    `${rigDate(Date.parse(text), offsetMs)} ${rigTime(Date.parse(text), offsetMs)}`;
  const begins = useSignal(written(from));
  const ends = useSignal(written(to));
  const code = useSignal(lost?.code ?? codes[0]!.code);
  const reason = useSignal(lost?.reason ?? '');
  const wrong = useSignal<string | null>(null);
  const [sending, send] = useSending();
  // What was not touched keeps its milliseconds.
  const instant = (text: string, was: string): string | null =>
    text === written(was) ? was : rigInstant(text, offsetMs);
  const enter = async (event: SubmitEvent) => {
    event.preventDefault();
    const [fromText, toText] = [instant(begins.peek(), from), instant(ends.peek(), to)];
    wrong.value = fromText && toText ? null : 'A time is written like 2031-05-12 04:10:00.';
    if (!fromText || !toText) return;
    const entry = {
      action: 'time code',
      by: viewerName.peek().trim(),
      from: fromText,
      to: toText,
      code: code.peek() === NOT_LOST ? null : code.peek(),
      reason: reason.peek().trim(),
    } as const;
    if (!(await send(entry))) return;
    askAnew();
    done();
  };
  return (
    <form class="shift-form" onSubmit={enter} data-testid="cause">
      <Instant says="From, rig time" text={begins} testid="cause-from" />
      <Instant says="To, rig time" text={ends} testid="cause-to" />
      <label class="field">
        Cause
        <select
          value={code.value}
          onChange={(event) => (code.value = event.currentTarget.value)}
          data-testid="cause-code"
        >
          {codes.map((one) => (
            <option key={one.code} value={one.code}>
              {one.code}: {one.says}
            </option>
          ))}
          <option value={NOT_LOST}>not lost after all</option>
        </select>
      </label>
      <label class="field">
        Reason
        <input
          required
          maxLength={4000}
          value={reason.value}
          onInput={(event) => (reason.value = event.currentTarget.value)}
          data-testid="cause-reason"
        />
      </label>
      <NameField testid="cause-by" focused={false} />
      <p class="shift-keys">
        <button type="submit" class="is-first" disabled={sending.value.kind === 'sending'} data-testid="cause-enter">
          Enter it
        </button>
        <button type="button" onClick={done}>
          Leave it
        </button>
      </p>
      {wrong.value && <p class="is-refused">{wrong.value}</p>}
      <SendingAnswer sending={sending.value} />
    </form>
  );
}

interface InstantProps {
  readonly says: string;
  readonly text: { value: string };
  readonly testid: string;
}

const Instant = ({ says, text, testid }: InstantProps) => (
  <label class="field">
    {says}
    <input value={text.value} onInput={(event) => (text.value = event.currentTarget.value)} data-testid={testid} />
  </label>
);
