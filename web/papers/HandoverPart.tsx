/** The handover of the shift: the sheet as it stands, the remarks, the end of the period, and the signatures of both sides. */
import { useSignal } from '@preact/signals';
import { z } from 'zod/mini';
import { NameField } from '../journal/NameField.tsx';
import { orderLibrary, saysOf } from '../library/askLibrary.ts';
import { viewerName } from '../preferences.ts';
import { apiOf } from '../recorded.ts';
import { unitSystem } from '../state.ts';
import { HandoverSides } from './HandoverSides.tsx';
import { papersAt } from './papersAddress.ts';
import { askAnew, choose, useTold } from './papersState.ts';
import { HANDOVER_PART } from './partKeys.ts';
import { RemarksForm } from './RemarksForm.tsx';
import { SheetView } from './SheetView.tsx';
import './shift.css';

const closedSchema = z.object({ number: z.int(), from: z.string(), to: z.string(), by: z.string() });
const handoverSchema = z.object({
  number: z.nullable(z.int()),
  page: z.object({ since: z.string(), remarks: z.string() }),
  closed: z.array(closedSchema),
});
type Closed = z.infer<typeof closedSchema>;

/** Of the address; empty: the period that is open. */
const numberAsked = (): string => (papersAt.value.part === HANDOVER_PART ? papersAt.value.of : '');
const numbered = (what: string): string => `${what}${numberAsked() && `number=${encodeURIComponent(numberAsked())}`}`;

export function HandoverPart() {
  const told = useTold(handoverSchema, () => apiOf(numbered('handover?')));
  const state = told.value;
  if (state.kind === 'asking') return <p class="papers-wait">Asking for the handover…</p>;
  if (state.kind === 'failed') {
    return (
      <div class="papers-wait">
        <p class="is-refused">There is no handover: {state.why}</p>
        {numberAsked() && <OpenPeriod />}
      </div>
    );
  }
  const { number, page, closed } = state.what;
  return (
    <div class="shift-two">
      <div class="shift-side">
        <Periods number={number} closed={closed} since={page.since} />
        <RemarksForm key={`remarks ${number}`} number={number} remarks={page.remarks} />
        {number === null ? <ClosePeriod /> : <HandoverSides number={number} />}
        <a class="papers-order" href={apiOf(numbered(`sheets/handover.pdf?units=${unitSystem.value}&`))} download>
          Print it: PDF
        </a>
      </div>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keyboard */}
      <div class="papers-sheet" tabIndex={0}>
        <SheetView what={() => numbered(`sheets/handover.svg?units=${unitSystem.value}&`)} />
      </div>
    </div>
  );
}

const go = (of: string) => () => choose({ part: HANDOVER_PART, of });

const OpenPeriod = () => (
  <button type="button" onClick={go('')}>
    To the period that is open
  </button>
);

interface PeriodsProps {
  readonly number: number | null;
  readonly closed: readonly Closed[];
  readonly since: string;
}

function Periods({ number, closed, since }: PeriodsProps) {
  const current = (is: boolean) => (is ? ('true' as const) : undefined);
  return (
    <nav class="papers-list" aria-label="Handovers">
      <button type="button" aria-current={current(number === null)} data-testid="handover-open" onClick={go('')}>
        <b>Open period</b>
        {number === null && <span>from {since}</span>}
      </button>
      {[...closed].reverse().map((one) => (
        <button
          key={one.number}
          type="button"
          aria-current={current(number === one.number)}
          data-testid={`handover-${one.number}`}
          onClick={go(String(one.number))}
        >
          <b>Handover {one.number}</b>
          <span>closed by {one.by}</span>
        </button>
      ))}
    </nav>
  );
}

type Closing = { readonly kind: 'no' | 'asked' | 'sending' } | { readonly kind: 'refused'; readonly why: string };

/** What is on the sheet stays as it is from then on: asked twice. */
function ClosePeriod() {
  const closing = useSignal<Closing>({ kind: 'no' });
  const close = async (event: SubmitEvent) => {
    event.preventDefault();
    closing.value = { kind: 'sending' };
    try {
      const { number } = await orderLibrary(closedSchema, apiOf('handover'), { by: viewerName.peek().trim() });
      askAnew();
      choose({ part: HANDOVER_PART, of: String(number) });
    } catch (fault) {
      closing.value = { kind: 'refused', why: saysOf(fault) };
    }
  };
  const { value } = closing;
  if (value.kind === 'no') {
    return (
      <button
        type="button"
        class="is-first"
        data-testid="handover-close"
        onClick={() => (closing.value = { kind: 'asked' })}
      >
        Close the period…
      </button>
    );
  }
  return (
    <form class="shift-form" onSubmit={close}>
      <p>What is on the sheet is kept as it stands, for both to sign. The next period begins.</p>
      <NameField testid="handover-by" focused={viewerName.value === ''} />
      <p class="shift-keys">
        <button type="submit" class="is-first" disabled={value.kind === 'sending'} data-testid="handover-close-yes">
          Close it
        </button>
        <button type="button" onClick={() => (closing.value = { kind: 'no' })}>
          Not yet
        </button>
      </p>
      <p class="is-refused" role="status">
        {value.kind === 'refused' && `Not closed: ${value.why}`}
      </p>
    </form>
  );
}
