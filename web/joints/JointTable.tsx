/** Every joint, from the top down. A row is drawn again only when its own joint changed. */
import { type Signal, untracked, useComputed, useSignal, useSignalEffect } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { JointState } from '../../src/live/messages.ts';
import type { Joint } from '../../src/plan/job.ts';
import { unitLabel } from '../figures.ts';
import { Mark } from '../Mark.tsx';
import { job, joints, now, selectedJoint, unitSystem } from '../state.ts';
import { DECISION_SAYINGS, decisionWords } from './decisionWords.ts';
import { jointRow, VERDICT_SIGNS } from './jointRow.ts';
import { KindSign } from './KindSign.tsx';

/** A viewer who scrolls the table is left alone for so long before it follows the tool again. */
export const LEFT_ALONE_MS = 20_000;

const COLUMNS = [
  'joint',
  ...['length', 'length', 'cover', 'gap'],
  ...['pressure', 'pressure', 'pressure'],
  ...['feed', 'count', 'count', 'verdict'],
];

export function JointTable() {
  const scroller = useRef<HTMLDivElement>(null);
  const touchedMs = useRef(Number.NEGATIVE_INFINITY);
  const focused = useSignal<number | null>(null);
  const shown = useComputed(() => selectedJoint.value ?? now.value?.joint ?? null);
  const touched = () => {
    touchedMs.current = performance.now();
  };
  const follow = () => {
    const index = shown.value;
    const chosen = selectedJoint.value !== null;
    if (index === null || joints.value.length === 0) return;
    if (!chosen && performance.now() - touchedMs.current < LEFT_ALONE_MS) return;
    if (scroller.current) bringIntoView(scroller.current, index);
  };
  useSignalEffect(follow);
  // The time bar takes rows away: the joint of the tool must not be among them.
  useEffect(() => {
    const observer = new ResizeObserver(() => untracked(follow));
    observer.observe(scroller.current!);
    return () => observer.disconnect();
  }, []);
  const plan = job.value;
  return (
    <section class="panel joints" aria-label="Joints">
      <div
        class="scroller"
        ref={scroller}
        onWheel={touched}
        onTouchMove={touched}
        onPointerDown={touched}
        tabIndex={-1}
      >
        <table onKeyDown={(event) => moveFocus(event, focused)}>
          <colgroup>
            {COLUMNS.map((name, i) => (
              <col key={i} class={`column-${name}`} />
            ))}
          </colgroup>
          <Head />
          <tbody>
            {plan?.joints.map((joint) => (
              <Row key={joint.name} joint={joint} state={joints.value[joint.index]!} focused={focused} />
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

function Head() {
  const system = unitSystem.value;
  const length = unitLabel('length', system);
  return (
    <thead>
      <tr>
        <th scope="col" rowSpan={2} class="text">
          Joint
        </th>
        <th scope="col">Required</th>
        <th scope="col">Expanded</th>
        <th scope="col">Cover</th>
        <th scope="col">Longest gap</th>
        <th scope="colgroup" colSpan={3} class="group">
          Pressure, {unitLabel('pressure', system)}
        </th>
        <th scope="col">Feed</th>
        <th scope="col" rowSpan={2}>
          Stalls
        </th>
        <th scope="col">Time</th>
        <th scope="col" rowSpan={2} class="text">
          Verdict
        </th>
      </tr>
      <tr class="units">
        <td>{length}</td>
        <td>{length}</td>
        <td>%</td>
        <td>{length}</td>
        <td>min</td>
        <td>mean</td>
        <td>max</td>
        <td>{unitLabel('feed', system)}</td>
        <td>min</td>
      </tr>
    </thead>
  );
}

interface RowProps {
  readonly joint: Joint;
  readonly state: Signal<JointState | null>;
  readonly focused: Signal<number | null>;
}

function Row({ joint, state, focused }: RowProps) {
  const current = useComputed(() => now.value?.joint === joint.index);
  const chosen = useComputed(() => selectedJoint.value === joint.index);
  const stop = useComputed(() => (focused.value ?? selectedJoint.value ?? now.value?.joint ?? 0) === joint.index);
  const row = jointRow(joint, state.value, unitSystem.value);
  // Verdicts that the length may as well bear, within 2σ of it.
  const couldBe = state.value?.couldBe ?? [];
  const decision = state.value?.decision;
  const choose = () => {
    focused.value = joint.index;
    selectedJoint.value = selectedJoint.peek() === joint.index ? null : joint.index;
  };
  const classes = [
    `verdict-${row.verdict.replaceAll(' ', '-')}`,
    current.value && 'is-current',
    chosen.value && 'is-chosen',
  ];
  return (
    <tr
      class={classes.filter(Boolean).join(' ')}
      data-testid={`joint-row-${joint.name}`}
      data-index={joint.index}
      data-verdict={row.verdict}
      tabIndex={stop.value ? 0 : -1}
      aria-current={current.value ? 'true' : undefined}
      aria-selected={chosen.value}
      onClick={choose}
    >
      <th scope="row" class="text">
        <KindSign kind={joint.kind} />
        <b>{row.name}</b> <span class="kind">{row.kind}</span>
      </th>
      <td>{row.required}</td>
      <td class="strong">{row.expanded}</td>
      <td class="strong">{row.coverage}</td>
      <td>{row.longestGap}</td>
      <td>{row.pressureMin}</td>
      <td>{row.pressureMean}</td>
      <td>{row.pressureMax}</td>
      <td>{row.feed}</td>
      <td>{row.stalls}</td>
      <td>{row.minutes}</td>
      <td class="text verdict">
        <Mark name={VERDICT_SIGNS[row.verdict]} size={15} /> {row.verdict}
        {couldBe.length > 0 && (
          <span class="could-be">
            {' '}
            ±<span class="aloud"> could be {couldBe.join(' or ')}</span>
          </span>
        )}
        {decision && (
          <span
            class={`decision decision-${decision.action}`}
            data-testid={`decision-${joint.name}`}
            title={decisionWords(decision, job.value?.stream.utcOffsetMs ?? 0)}
          >
            {DECISION_SAYINGS[decision.action]}, {decision.by}
          </span>
        )}
      </td>
    </tr>
  );
}

/** Rows of what is past that are left in view, where there is room for them beside the one that is meant. */
const ROWS_PAST = 2;

/** Scrolls the table alone, never the page. */
function bringIntoView(scroller: HTMLElement, index: number): void {
  const row = scroller.querySelector<HTMLElement>(`tr[data-index="${index}"]`);
  const head = scroller.querySelector('thead');
  if (!row || !head) return;
  const top = row.offsetTop - head.offsetHeight;
  const above = top - row.offsetHeight < scroller.scrollTop;
  const below = row.offsetTop + row.offsetHeight * 2 > scroller.scrollTop + scroller.clientHeight;
  const room = Math.floor((scroller.clientHeight - head.offsetHeight) / row.offsetHeight) - 1;
  if (above || below) scroller.scrollTop = top - row.offsetHeight * Math.max(0, Math.min(ROWS_PAST, room));
}

/** One stop for Tab; up, down, Home, End move inside, Enter and Space choose. */
function moveFocus(event: KeyboardEvent, focused: Signal<number | null>): void {
  const row = event.target instanceof Element ? event.target.closest<HTMLElement>('tr[data-index]') : null;
  const count = joints.peek().length;
  if (!row || count === 0) return;
  const at = Number(row.dataset.index);
  const to = { ArrowDown: at + 1, ArrowUp: at - 1, Home: 0, End: count - 1 }[event.key];
  if (event.key === 'Enter' || event.key === ' ') row.click();
  else if (to !== undefined && to >= 0 && to < count) {
    focused.value = to;
    row.parentElement?.querySelector<HTMLElement>(`tr[data-index="${to}"]`)?.focus();
  } else if (to === undefined) return;
  event.preventDefault();
}
