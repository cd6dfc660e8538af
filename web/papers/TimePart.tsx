/** Where the time went: the sheet of a day, and what was lost in it, to which a person gives its cause. */
import { useSignal } from '@preact/signals';
import { lasted } from '../../src/lasted.ts';
import { offsetOf } from '../../src/report/rigClock.ts';
import { type TimeSheet, type TimeStretch, timeSheetSchema } from '../../src/time/timeSheetSchema.ts';
import { rigTime } from '../figures.ts';
import { apiOf } from '../recorded.ts';
import { CauseForm } from './CauseForm.tsx';
import { papersAt } from './papersAddress.ts';
import { choose, useTold } from './papersState.ts';
import { TIME_PART } from './partKeys.ts';
import { SheetView } from './SheetView.tsx';
import './shift.css';

type Day = TimeSheet['days'][number];

export function TimePart() {
  const told = useTold(timeSheetSchema, () => apiOf('time'));
  const state = told.value;
  if (state.kind === 'asking') return <p class="papers-wait">Asking for the time sheet…</p>;
  if (state.kind === 'failed') return <p class="papers-wait is-refused">There is no time sheet: {state.why}</p>;
  const { days } = state.what;
  const day = days.find(({ date }) => date === papersAt.value.of) ?? days.at(-1);
  if (!day) return <p class="papers-wait">The run has no time yet.</p>;
  return (
    <div class="shift-two">
      <div class="shift-side">
        <nav class="papers-list" aria-label="Days">
          {days.map((one) => (
            <button
              key={one.date}
              type="button"
              aria-current={one === day ? 'true' : undefined}
              data-testid={`day-${one.date}`}
              onClick={() => choose({ part: TIME_PART, of: one.date })}
            >
              <b>{one.date}</b>
              <span>
                from {state.what.dayCut}, {lasted(lostIn(one))} lost
              </span>
            </button>
          ))}
        </nav>
        <Stops key={day.date} sheet={state.what} day={day} />
        <p class="shift-keys">
          <a class="papers-order" href={apiOf(`sheets/day.pdf?date=${day.date}`)} download>
            Print it: PDF
          </a>
          <a class="papers-order" href={apiOf('export/time.csv')} download data-testid="time-csv">
            All days: CSV
          </a>
        </p>
      </div>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keyboard */}
      <div class="papers-sheet" tabIndex={0}>
        <SheetView what={() => `sheets/day.svg?date=${dateAsked() || day.date}`} />
      </div>
    </div>
  );
}

const dateAsked = (): string => (papersAt.value.part === TIME_PART ? papersAt.value.of : '');
const lostIn = ({ sums }: Day): number => sums.reduce((all, { lostMs }) => all + lostMs, 0);

/** What was lost, and what stood without a cause, in the order in which it came. */
function stopsOf({ uncoded }: TimeSheet, day: Day): TimeStretch[] {
  const [fromMs, toMs] = [Date.parse(day.from), Date.parse(day.to)];
  const without = uncoded.filter(({ from, to }) => Date.parse(from) < toMs && Date.parse(to) > fromMs);
  const lost = day.stretches.filter((one) => one.lost !== null);
  return [...without, ...lost].sort((a, b) => Date.parse(a.from) - Date.parse(b.from));
}

interface StopsProps {
  readonly sheet: TimeSheet;
  readonly day: Day;
}

function Stops({ sheet, day }: StopsProps) {
  /** The stretch whose cause is being said, by its beginning; `another`: one that the person names. */
  const open = useSignal<string | null>(null);
  const stops = stopsOf(sheet, day);
  const offsetMs = offsetOf(day.from);
  const clock = (text: string): string => rigTime(Date.parse(text), offsetMs);
  const close = () => (open.value = null);
  const form = { codes: sheet.codes, offsetMs, done: close };
  return (
    <section class="shift-stops" aria-label="Lost time">
      <h2>Lost, or stood without a cause</h2>
      {stops.length === 0 && <p>Nothing on this day.</p>}
      <ul>
        {stops.map((one) => (
          <li key={one.from} data-testid="stop">
            <p>
              <b>
                {clock(one.from)} to {clock(one.to)}
              </b>{' '}
              {lasted(one.ms)}, {one.activity}
              {one.joint && `, ${one.joint}`}
            </p>
            <p class={one.lost ? '' : 'is-open'}>
              {one.lost ? `${one.lost.code}: ${one.lost.reason} (${one.lost.by})` : 'Nobody has said why.'}
            </p>
            {open.value !== one.from && (
              <button type="button" data-testid="stop-cause" onClick={() => (open.value = one.from)}>
                {one.lost ? 'Another cause…' : 'Say why…'}
              </button>
            )}
            {open.value === one.from && <CauseForm {...form} from={one.from} to={one.to} lost={one.lost} />}
          </li>
        ))}
      </ul>
      {open.value !== 'another' && (
        <button type="button" data-testid="another-stretch" onClick={() => (open.value = 'another')}>
          Another stretch…
        </button>
      )}
      {open.value === 'another' && <CauseForm {...form} from={sheet.from} to={sheet.to} lost={null} />}
    </section>
  );
}
