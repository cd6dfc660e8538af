/** One sheet as the service draws it: what is printed, in the colours of the page, as wide as there is room. */
import { useSignal, useSignalEffect } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { saysOf } from '../library/askLibrary.ts';
import { apiOf, recorded } from '../recorded.ts';
import { goToMoment } from './goToMoment.ts';
import { momentIn, papersIn } from './papersAddress.ts';
import { choose, listenToChanges, type Told } from './papersState.ts';
import { readSheet } from './readSheet.ts';

const ANSWER_WITHIN_MS = 120_000;

async function fetchSheet(url: string): Promise<SVGSVGElement> {
  const answer = await fetch(url, { signal: AbortSignal.timeout(ANSWER_WITHIN_MS) });
  if (answer.ok) return readSheet(await answer.text());
  const body = (await answer.json().catch(() => null)) as { error?: unknown } | null;
  throw new Error(typeof body?.error === 'string' ? body.error : `the service answered ${answer.status}`);
}

/** Room around what is drawn, points. */
const AROUND = 12;

/** A screen needs no margins: it shows what is drawn, as wide as there is room. */
function cropped(sheet: SVGSVGElement): void {
  const { x, y, width, height } = sheet.getBBox();
  if (width <= 0) return;
  sheet.setAttribute('viewBox', [x - AROUND, y - AROUND, width + 2 * AROUND, height + 2 * AROUND].join(' '));
  sheet.removeAttribute('width');
  sheet.removeAttribute('height');
}

/** A link of a sheet leads to a moment, or to another sheet. */
export function followLink(event: MouseEvent): void {
  const link = event.target instanceof Element ? event.target.closest('a') : null;
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
  const href = link.getAttribute('href') ?? '';
  const moment = momentIn(href);
  const sheet = papersIn(href);
  if (!moment && !sheet) return;
  event.preventDefault();
  if (moment) goToMoment({ ...moment, run: recorded.peek()?.id ?? null });
  else if (sheet) choose(sheet);
}

/** @param what where it is drawn, as `apiOf` has it; called within an effect: signals in it count */
export function SheetView({ what }: { readonly what: () => string }) {
  const place = useRef<HTMLDivElement>(null);
  const told = useSignal<Told<SVGSVGElement>>({ kind: 'asking' });
  useSignalEffect(() => {
    listenToChanges();
    let isMine = true;
    const answered = (state: Told<SVGSVGElement>): void => {
      if (isMine) told.value = state;
    };
    fetchSheet(apiOf(what())).then(
      (sheet) => answered({ kind: 'here', what: sheet }),
      (fault: unknown) => answered({ kind: 'failed', why: saysOf(fault) }),
    );
    return () => {
      isMine = false;
    };
  });
  // The links in it are links, which the keyboard presses too.
  useEffect(() => place.current?.addEventListener('click', followLink), []);
  const state = told.value;
  useEffect(() => {
    if (state.kind !== 'here') return;
    place.current?.replaceChildren(state.what);
    cropped(state.what);
  }, [state]);
  return (
    <>
      {state.kind === 'asking' && <p class="papers-wait">Drawing the sheet…</p>}
      {state.kind === 'failed' && (
        <p class="papers-wait is-refused" role="status">
          There is no sheet: {state.why}
        </p>
      )}
      <div class="sheet-place" ref={place} hidden={state.kind !== 'here'} data-testid="sheet" />
    </>
  );
}
