/** What the run would have been, beside what it was: in figures, on the liner, joint by joint, event by event. */
import type { JointState } from '../../src/live/messages.ts';
import { compileJob } from '../../src/plan/job.ts';
import type { Plan } from '../../src/plan/planSchema.ts';
import type { Comparison, JointDifference } from '../../src/replay/compareRecords.ts';
import { scenarioWords } from '../../src/replay/scenario.ts';
import { SYSTEM_UNITS, UNITS } from '../../src/units.ts';
import { decimal, rigTime } from '../figures.ts';
import { jointPieces } from '../liner/jointPieces.ts';
import { job } from '../state.ts';
import type { WhatIfAnswer } from '../worker/replayProtocol.ts';

export function AnswerPart({ answer }: { readonly answer: WhatIfAnswer }) {
  const { scenario, comparison, before, after } = answer;
  const unit = UNITS[SYSTEM_UNITS[comparison.units].length].label;
  const decimals = comparison.units === 'metric' ? 2 : 1;
  const metres = (value: number): string => `${decimal(value, decimals)} ${unit}`;
  return (
    <div class="what-if-answer" data-testid="what-if-answer">
      <header class="what-if-label">
        <b>What if: {scenario.name}</b>
        <span>Not the record of the run.</span>
      </header>
      <ul class="what-if-words">
        {scenarioWords(before.plan, scenario).map((words) => (
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
      <LinerStrips before={before} after={after} />
      <JointTable joints={comparison.joints} alike={comparison.alike} metres={metres} />
      <Events comparison={comparison} />
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

const STRIP = { width: 1000, height: 26 } as const;

type Joints = WhatIfAnswer['before'];

/** Both on one scale of depth, top of the liner at the left. */
function LinerStrips({ before, after }: { readonly before: Joints; readonly after: Joints }) {
  const jobs = [compileJob(before.plan), compileJob(after.plan)] as const;
  const from = Math.min(...jobs.map(({ joints }) => joints[0]!.top));
  const to = Math.max(...jobs.map(({ joints }) => joints[joints.length - 1]!.bottom));
  return (
    <div class="liner-strips">
      <Strip says="As recorded" plan={before.plan} joints={before.joints} from={from} to={to} />
      <Strip says="What if" plan={after.plan} joints={after.joints} from={from} to={to} />
    </div>
  );
}

interface StripProps {
  readonly says: string;
  readonly plan: Plan;
  readonly joints: readonly JointState[];
  readonly from: number;
  readonly to: number;
}

function Strip({ says, plan, joints, from, to }: StripProps) {
  const x = (depth: number): number => ((depth - from) / (to - from)) * STRIP.width;
  const { joints: planned } = compileJob(plan);
  return (
    <>
      <span>{says}</span>
      <svg
        viewBox={`0 0 ${STRIP.width} ${STRIP.height}`}
        preserveAspectRatio="none"
        role="img"
        aria-label={`The liner: ${says}`}
      >
        <path class="strip-pipe" d={`M0 ${STRIP.height / 2}H${STRIP.width}`} />
        {planned.flatMap((joint) =>
          jointPieces(joint, joints[joint.index] ?? null).map((piece) => (
            <rect
              key={`${joint.name} ${piece.from}`}
              class={`piece piece-${piece.kind.replace(' ', '-')}`}
              x={x(piece.from)}
              y={4}
              width={Math.max(0.8, x(piece.to) - x(piece.from))}
              height={STRIP.height - 8}
            />
          )),
        )}
        {planned.slice(1).map(({ name, top }) => (
          <path key={name} class="thread" d={`M${x(top)} 0v${STRIP.height}`} />
        ))}
      </svg>
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

function Events({ comparison }: { readonly comparison: Comparison }) {
  const { eventsCome, eventsGone } = comparison;
  const offsetMs = job.value?.stream.utcOffsetMs ?? 0;
  const rows = [
    ...eventsCome.map((event) => ({ event, sign: 'comes' })),
    ...eventsGone.map((event) => ({ event, sign: 'goes' })),
  ].sort((a, b) => Date.parse(a.event.from) - Date.parse(b.event.from));
  if (rows.length === 0) return <p class="what-if-alike">No event comes or goes.</p>;
  return (
    <>
      <h3>Events</h3>
      <table class="plain" data-testid="what-if-events">
        <tbody>
          {rows.map(({ event, sign }, i) => (
            <tr key={`${sign} ${event.kind} ${event.from} ${i}`}>
              <td>{sign}</td>
              <td>{rigTime(Date.parse(event.from), offsetMs)}</td>
              <td>
                {event.kind}
                {event.joint ? ` on ${event.joint}` : ''}
              </td>
              <td>{event.detail}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}
