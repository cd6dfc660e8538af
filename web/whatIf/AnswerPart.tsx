/** What the run would have been, beside what it was: in figures, on the liner, joint by joint, event by event. */
import { useSignal } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import { compileJob } from '../../src/plan/job.ts';
import type { Comparison, JointDifference } from '../../src/replay/compareRecords.ts';
import { scenarioWords } from '../../src/replay/scenario.ts';
import { SYSTEM_UNITS, UNITS } from '../../src/units.ts';
import { DepthFigure } from '../beside/DepthFigure.tsx';
import { type JointRange, windowOf } from '../beside/depthRange.ts';
import { LinerLegend } from '../beside/LinerLegend.tsx';
import { RangeChoice } from '../beside/RangeChoice.tsx';
import { decimal } from '../figures.ts';
import type { Beside, WhatIfAnswer } from '../worker/replayProtocol.ts';
import { EventChanges } from './EventChanges.tsx';
import { KeepKeys } from './KeepKeys.tsx';
import { LinkField } from './LinkField.tsx';
import { linkOf } from './whatIfState.ts';
import '../beside/beside.css';

export function AnswerPart({ answer }: { readonly answer: WhatIfAnswer }) {
  const { scenario, comparison, beside } = answer;
  const unit = UNITS[SYSTEM_UNITS[comparison.units].length].label;
  const decimals = comparison.units === 'metric' ? 2 : 1;
  const metres = (value: number): string => `${decimal(value, decimals)} ${unit}`;
  return (
    <div class="what-if-answer" data-testid="what-if-answer">
      <header class="what-if-label">
        <b>What if: {scenario.name}</b>
        <span>Not the record of the run.</span>
        <LinkField hash={linkOf(scenario)} />
      </header>
      <KeepKeys scenario={scenario} />
      <ul class="what-if-words">
        {scenarioWords(beside.a.plan, scenario).map((words) => (
          <li key={words}>{words}</li>
        ))}
      </ul>
      <dl class="counts">
        <Count label="Gained" value={metres(comparison.gained)} testid="what-if-gained" />
        <Count label="Lost" value={metres(comparison.lost)} testid="what-if-lost" />
        <Count label="Verdicts changed" value={String(verdictsChanged(comparison))} testid="what-if-verdicts" />
        <Count
          label="Events that come / go"
          value={`${comparison.eventsCome.length} / ${comparison.eventsGone.length}`}
        />
      </dl>
      <Liner beside={beside} />
      <JointTable joints={comparison.joints} alike={comparison.alike} metres={metres} />
      <EventChanges comparison={comparison} />
    </div>
  );
}

const verdictsChanged = ({ joints }: Comparison): number =>
  joints.filter(({ before, after }) => before !== after).length;

function Count({ label, value, testid }: { readonly label: string; readonly value: string; readonly testid?: string }) {
  return (
    <div>
      <dt>{label}</dt>
      <dd data-testid={testid}>{value}</dd>
    </div>
  );
}

const LINER_HEIGHT = 420;

/** Both on one liner: as recorded at the left of its middle, under the changes at the right. */
function Liner({ beside: { a, b, joints: paired } }: { readonly beside: Beside }) {
  const range = useSignal<JointRange>(null);
  const jobs = useMemo(() => [compileJob(a.plan), compileJob(b.plan)] as const, [a.plan, b.plan]);
  const shown = jobs.map((plan) => windowOf(plan, range.value));
  const window = {
    from: Math.min(...shown.map(({ from }) => from)),
    to: Math.max(...shown.map(({ to }) => to)),
  };
  const sides = [
    { job: jobs[0], joints: a.joints, passes: [], originM: 0 },
    { job: jobs[1], joints: b.joints, passes: [], originM: 0 },
  ];
  return (
    <>
      <div class="depth-choices">
        <RangeChoice job={jobs[0]} range={range} />
        <p>
          <b>A</b> as recorded, <b class="is-scenario">B</b> what if
        </p>
      </div>
      <LinerLegend />
      <DepthFigure
        sides={sides}
        liners="halves"
        window={window}
        height={LINER_HEIGHT}
        pairs={paired.pairs}
        beside="changes"
      />
    </>
  );
}

interface TableProps {
  readonly joints: readonly JointDifference[];
  readonly alike: number;
  readonly metres: (value: number) => string;
}

function JointTable({ joints, alike, metres }: TableProps) {
  return (
    <>
      <h3>Joints</h3>
      {joints.length === 0 ? (
        <p>No joint changes.</p>
      ) : (
        <table class="plain what-if-joints" data-testid="what-if-joints">
          <thead>
            <tr>
              <th>Joint</th>
              <th>Verdict as recorded</th>
              <th>What if</th>
              <th class="number">Expanded</th>
              <th class="number">Gained</th>
              <th class="number">Lost</th>
            </tr>
          </thead>
          <tbody>
            {joints.map((one) => (
              <tr key={one.name} class={one.before === one.after ? '' : 'is-changed'}>
                <th scope="row">{one.name}</th>
                <td>{one.before ?? '–'}</td>
                <td>{one.after ?? '–'}</td>
                <td class="number">
                  {metres(one.expandedBefore)} → {metres(one.expandedAfter)}
                </td>
                <td class="number">{metres(one.gained)}</td>
                <td class="number">{metres(one.lost)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {alike > 0 && <p class="what-if-alike">{alike} joints stay as they are.</p>}
    </>
  );
}
