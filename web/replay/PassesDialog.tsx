/** Readings against depth of the tool: every pass over one joint laid over the others, the last one strongest. */
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { Job, Recipe } from '../../src/plan/job.ts';
import type { Pass } from '../../src/replay/passes.ts';
import type { Quantity } from '../../src/units.ts';
import { figure, rigTime, unitLabel } from '../figures.ts';
import { Dialog } from '../frame/Dialog.tsx';
import { openDialog } from '../frame/dialogs.ts';
import { job, now, selectedJoint, unitSystem } from '../state.ts';
import { askDesk } from './replayer.ts';

type Column = 'pressure' | 'rotation' | 'torque';

interface Track {
  readonly column: Column;
  readonly title: string;
  readonly quantity: Quantity;
  readonly bounds: (recipe: Recipe) => readonly number[];
}

const TRACKS: readonly Track[] = [
  {
    column: 'pressure',
    title: 'Standpipe pressure',
    quantity: 'pressure',
    // A window of the pressure at the tool is no window of this reading.
    bounds: (recipe) => (recipe.pressureAt === 'standpipe' ? [recipe.pressureMinKpa, recipe.pressureMaxKpa] : []),
  },
  { column: 'rotation', title: 'Rotation', quantity: 'rotation', bounds: ({ rpmMin }) => [rpmMin] },
  { column: 'torque', title: 'Torque', quantity: 'torque', bounds: ({ torqueMaxKnm }) => [torqueMaxKnm] },
];

type Asked =
  | { readonly kind: 'asking' }
  | { readonly kind: 'here'; readonly joint: string; readonly passes: readonly Pass[] }
  | { readonly kind: 'refused'; readonly why: string };

export function PassesDialog() {
  return (
    <Dialog name="passes" title="Passes by depth">
      <Passes />
    </Dialog>
  );
}

/** The joint that is singled out, else the one at work, else the first that is to be expanded. */
function jointInSight(plan: Job): string {
  const index = selectedJoint.peek() ?? now.peek()?.joint ?? -1;
  const joint = plan.joints[index];
  return (joint?.recipe ? joint : plan.joints.find(({ recipe }) => recipe))?.name ?? plan.joints[0]!.name;
}

function Passes() {
  const plan = job.value;
  const chosen = useSignal(plan ? jointInSight(plan) : '');
  const asked = useSignal<Asked>({ kind: 'asking' });
  const open = openDialog.value === 'passes';
  useEffect(() => {
    if (open && chosen.value !== '') void ask(chosen.value, (answer) => (asked.value = answer));
  }, [open, chosen.value]);
  const joint = plan?.joints.find(({ name }) => name === chosen.value);
  if (!plan || !joint) return <p>No plan yet.</p>;
  const state = asked.value;
  return (
    <div class="passes">
      <label>
        Joint{' '}
        <select
          data-testid="passes-joint"
          value={chosen.value}
          onChange={(event) => (chosen.value = event.currentTarget.value)}
        >
          {plan.joints
            .filter(({ recipe }) => recipe)
            .map(({ name }) => (
              <option key={name}>{name}</option>
            ))}
        </select>
      </label>
      {state.kind === 'asking' && <p>Reading the run…</p>}
      {state.kind === 'refused' && <p>{state.why}</p>}
      {state.kind === 'here' && state.passes.length === 0 && <p>No tool has passed over it yet.</p>}
      {state.kind === 'here' && state.passes.length > 0 && (
        <>
          {TRACKS.map((track) => (
            <TrackFigure key={track.column} track={track} passes={state.passes} joint={joint} />
          ))}
          <PassList plan={plan} passes={state.passes} />
        </>
      )}
    </div>
  );
}

async function ask(joint: string, tell: (asked: Asked) => void): Promise<void> {
  tell({ kind: 'asking' });
  try {
    const answer = await askDesk({ ask: 'passes', joint });
    if (answer.answer === 'passes') tell({ kind: 'here', joint, passes: answer.passes });
    else tell({ kind: 'refused', why: answer.answer === 'refused' ? answer.why : 'no answer' });
  } catch (fault) {
    tell({ kind: 'refused', why: fault instanceof Error ? fault.message : String(fault) });
  }
}

const FIGURE = { width: 1000, height: 150, left: 62, right: 8, top: 8, bottom: 22 } as const;
const DEPTH_TICKS = 6;

interface TrackFigureProps {
  readonly track: Track;
  readonly passes: readonly Pass[];
  readonly joint: Job['joints'][number];
}

function TrackFigure({ track, passes, joint }: TrackFigureProps) {
  const system = unitSystem.value;
  const bounds = joint.recipe ? track.bounds(joint.recipe).filter(Number.isFinite) : [];
  let most = Math.max(1e-6, ...bounds);
  for (const pass of passes) for (const value of pass[track.column]) if (value > most) most = value;
  const { width, height, left, right, top, bottom } = FIGURE;
  const x = (depth: number): number =>
    left + ((depth - joint.top) / (joint.bottom - joint.top)) * (width - left - right);
  const y = (value: number): number => height - bottom - (Math.max(0, value) / (most * 1.05)) * (height - top - bottom);
  const depths = Array.from(
    { length: DEPTH_TICKS },
    (_, i) => joint.top + ((i + 0.5) * (joint.bottom - joint.top)) / DEPTH_TICKS,
  );
  return (
    <figure>
      <figcaption>
        {track.title}, {unitLabel(track.quantity, system)}
      </figcaption>
      <svg
        viewBox={`0 0 ${width} ${height}`}
        role="img"
        aria-label={`${track.title} against depth, ${passes.length} passes`}
      >
        <rect
          class="passes-required"
          x={x(joint.from)}
          y={top}
          width={x(joint.to) - x(joint.from)}
          height={height - top - bottom}
        />
        {bounds.map((bound) => (
          <path key={bound} class="passes-bound" d={`M${left} ${y(bound)}H${width - right}`} />
        ))}
        {passes.map((pass, i) => (
          <path
            key={pass.fromMs}
            class={i === passes.length - 1 ? 'passes-line is-last' : 'passes-line'}
            data-testid="pass-line"
            d={linePath(pass.depth, pass[track.column], x, y)}
          />
        ))}
        <path class="passes-axis" d={`M${left} ${top}V${height - bottom}H${width - right}`} />
        {[0, most].map((value) => (
          <text key={value} class="passes-value" x={left - 6} y={y(value) + 4}>
            {figure(track.quantity, value, system)}
          </text>
        ))}
        {depths.map((depth) => (
          <text key={depth} class="passes-depth" x={x(depth)} y={height - 5}>
            {figure('length', depth, system, 1)}
          </text>
        ))}
      </svg>
    </figure>
  );
}

/** Broken where there is no reading. */
function linePath(
  depths: Float32Array,
  values: Float32Array,
  x: (depth: number) => number,
  y: (value: number) => number,
): string {
  let path = '';
  let on = false;
  for (let i = 0; i < depths.length; i++) {
    const value = values[i]!;
    if (Number.isNaN(value) || Number.isNaN(depths[i]!)) {
      on = false;
      continue;
    }
    path += `${on ? 'L' : 'M'}${x(depths[i]!).toFixed(1)} ${y(value).toFixed(1)}`;
    on = true;
  }
  return path;
}

function PassList({ plan, passes }: { readonly plan: Job; readonly passes: readonly Pass[] }) {
  const { utcOffsetMs } = plan.stream;
  return (
    <ul class="passes-list">
      {passes.map(({ fromMs, toMs, tool }, i) => (
        <li key={fromMs} class={i === passes.length - 1 ? 'is-last' : ''}>
          {i + 1}. {plan.tools[tool]?.name} tool, {rigTime(fromMs, utcOffsetMs)} to {rigTime(toMs, utcOffsetMs)}
        </li>
      ))}
    </ul>
  );
}
