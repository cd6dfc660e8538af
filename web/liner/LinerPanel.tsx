/**
 * The liner to true depth, drawn as a cut through the hole: what is expanded stands wide against the wall and is filled,
 * what is not stands narrow and empty. Left the whole liner, right the stretch around the tool.
 */
import { useSignal, useSignalEffect } from '@preact/signals';
import { useRef } from 'preact/hooks';
import type { Job } from '../../src/plan/job.ts';
import { openDialog } from '../frame/dialogs.ts';
import { isReplay } from '../replay/replayState.ts';
import { job, now, selectedJoint, unitSystem } from '../state.ts';
import { CloseUp } from './CloseUp.tsx';
import { useElementSize } from './elementSize.ts';
import { type DepthWindow, followWindow, windowAround } from './linerScale.ts';
import { Overview } from './Overview.tsx';
import { Patterns } from './Patterns.tsx';

/** Bare hole shown above and below the liner, m. */
const MARGIN_M = 1.2;
const OVERVIEW_PX = 78;

const wholeOf = (plan: Job): DepthWindow => ({
  from: plan.joints[0]!.top - MARGIN_M,
  to: plan.joints[plan.joints.length - 1]!.bottom + MARGIN_M,
});

/** Depth that the stretch follows: the tool at work, or the first one whose depth is known. */
function followedDepth(): number | null {
  const state = now.value;
  if (!state) return null;
  const atWork = state.tool === null ? null : state.toolDepths[state.tool];
  return atWork ?? state.toolDepths.find((depth) => depth !== null) ?? null;
}

export function LinerPanel() {
  const frame = useRef<HTMLDivElement>(null);
  const size = useElementSize(frame);
  const stretch = useSignal<DepthWindow | null>(null);
  useSignalEffect(() => {
    const plan = job.value;
    if (!plan) return;
    const whole = wholeOf(plan);
    const chosen = selectedJoint.value === null ? undefined : plan.joints[selectedJoint.value];
    const next = chosen
      ? windowAround(chosen.top, chosen.bottom, whole)
      : followWindow(stretch.peek(), followedDepth(), whole);
    const shown = stretch.peek();
    if (next.from !== shown?.from || next.to !== shown.to) stretch.value = next;
  });
  const plan = job.value;
  const { width, height } = size.value;
  const ready = plan && stretch.value && width > OVERVIEW_PX && height > 0;
  return (
    <section class="panel liner" aria-label="Liner">
      <Patterns />
      <div class="liner-frame" ref={frame}>
        {ready && (
          <>
            <Overview job={plan} whole={wholeOf(plan)} stretch={stretch} width={OVERVIEW_PX} height={height} />
            <CloseUp
              job={plan}
              whole={wholeOf(plan)}
              stretch={stretch}
              width={width - OVERVIEW_PX}
              height={height}
              system={unitSystem.value}
            />
          </>
        )}
      </div>
      <Legend />
      {selectedJoint.value !== null && !isReplay.value && plan?.joints[selectedJoint.value]?.recipe && (
        <button type="button" class="back decide" data-testid="decide" onClick={() => (openDialog.value = 'decide')}>
          Accept or reject {plan.joints[selectedJoint.value]!.name}
        </button>
      )}
      {selectedJoint.value !== null && (
        <button type="button" class="back" data-testid="back-to-tool" onClick={() => (selectedJoint.value = null)}>
          Back to the tool
        </button>
      )}
    </section>
  );
}

const LEGEND = ['expanded', 'gap', 'unproven', 'not reached'] as const;

function Legend() {
  return (
    <ul class="legend" aria-label="What the fillings mean">
      {LEGEND.map((kind) => (
        <li key={kind}>
          <svg width="20" height="14" aria-hidden="true">
            <rect x="1" y="1" width="18" height="12" class={`piece piece-${kind.replace(' ', '-')}`} />
          </svg>
          {kind}
        </li>
      ))}
    </ul>
  );
}
