/** Readings against depth of the tool: every pass over the joints of a stretch laid over the others, the last one strongest. */
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { Job } from '../../src/plan/job.ts';
import type { Pass } from '../../src/replay/passes.ts';
import { DepthFigure } from '../beside/DepthFigure.tsx';
import { type JointRange, windowOf } from '../beside/depthRange.ts';
import { RangeChoice } from '../beside/RangeChoice.tsx';
import { usePasses } from '../beside/usePasses.ts';
import { rigTime } from '../figures.ts';
import { Dialog } from '../frame/Dialog.tsx';
import { openDialog } from '../frame/dialogs.ts';
import { job, joints, now, selectedJoint } from '../state.ts';
import '../beside/beside.css';

export function PassesDialog() {
  return (
    <Dialog name="passes" title="Readings by depth">
      {job.value ? <Passes plan={job.value} /> : <p>No plan yet.</p>}
    </Dialog>
  );
}

/** The joint that is singled out, else the one at work; else the whole liner. */
function rangeInSight(plan: Job): JointRange {
  const joint = plan.joints[selectedJoint.peek() ?? now.peek()?.joint ?? -1];
  return joint?.recipe ? [joint.name, joint.name] : null;
}

/** The dialog's own rows, and the least that can be read, px. */
const ROWS_PX = 262;
const LEAST_PX = 440;

function Passes({ plan }: { readonly plan: Job }) {
  const range = useSignal<JointRange>(null);
  const open = openDialog.value === 'passes';
  useEffect(() => {
    if (open) range.value = rangeInSight(plan);
  }, [open]);
  const window = windowOf(plan, range.value);
  const passes = usePasses(open ? [{ side: { kind: 'original' }, window }] : []).value;
  const drawn = passes.kind === 'here' ? passes.of[0]! : [];
  const states = joints.value.flatMap((state) => state.value ?? []);
  return (
    <div class="passes">
      <div class="depth-choices">
        <RangeChoice job={plan} range={range} />
        <p role="status">{statusWords(passes.kind === 'refused' ? passes.why : passes.kind, drawn.length)}</p>
      </div>
      <p class="depth-legend">
        <Swatch kind="is-last" /> last pass over a joint <Swatch kind="" /> passes before{' '}
        <span class="band-swatch" aria-hidden="true" /> the recipe’s window
      </p>
      <DepthFigure
        sides={[{ job: plan, joints: states, passes: drawn, originM: 0 }]}
        liners="apart"
        window={window}
        height={Math.max(LEAST_PX, innerHeight - ROWS_PX)}
        pairs={[]}
        beside="tracks"
      />
      {range.value?.[0] === range.value?.[1] && range.value !== null && <PassList plan={plan} passes={drawn} />}
    </div>
  );
}

function statusWords(state: string, passes: number): string {
  if (state === 'asking') return 'Asking…';
  if (state !== 'here') return state;
  return passes === 0 ? 'No tool of the recipe has passed here.' : `${passes} ${passes === 1 ? 'pass' : 'passes'}`;
}

export function Swatch({ kind }: { readonly kind: string }) {
  return (
    <svg class="line-swatch" width="34" height="10" aria-hidden="true">
      <path class={`pass-line ${kind}`} d="M0 5H34" />
    </svg>
  );
}

function PassList({ plan, passes }: { readonly plan: Job; readonly passes: readonly Pass[] }) {
  const { utcOffsetMs } = plan.stream;
  return (
    <ul class="passes-list">
      {passes.map(({ fromMs, toMs, tool, isLast }, i) => (
        <li key={fromMs} class={isLast ? 'is-last' : ''}>
          {i + 1}. {plan.tools[tool]?.name} tool, {rigTime(fromMs, utcOffsetMs)} to {rigTime(toMs, utcOffsetMs)}
        </li>
      ))}
    </ul>
  );
}
