/** The joints that are to be expanded, each with its verdict, and the sheet of the one that was chosen. */
import { z } from 'zod/mini';
import { VERDICTS } from '../../src/causes.ts';
import { DECISION_SAYINGS } from '../joints/decisionWords.ts';
import { unitSystem } from '../state.ts';
import { JOINTS_PART, papersAt } from './papersAddress.ts';
import { choose, useTold } from './papersState.ts';
import { SheetView } from './SheetView.tsx';

const sheetsSchema = z.object({
  sheets: z.array(
    z.object({
      joint: z.string(),
      verdict: z.enum(VERDICTS),
      decision: z.nullable(z.enum(['accept', 'reject'])),
    }),
  ),
});

const ofSheet = (joint: string): string =>
  `sheets/joint/${encodeURIComponent(joint)}.svg?units=${encodeURIComponent(unitSystem.value)}`;

export function JointSheets() {
  const told = useTold(sheetsSchema, () => 'sheets');
  const state = told.value;
  if (state.kind === 'asking') return <p class="papers-wait">Asking for the sheets…</p>;
  if (state.kind === 'failed') return <p class="papers-wait is-refused">There are no sheets: {state.why}</p>;
  const { sheets } = state.what;
  const chosen = sheets.find(({ joint }) => joint === papersAt.value.of) ?? sheets[0];
  if (!chosen) return <p class="papers-wait">The plan has no joint that is to be expanded.</p>;
  return (
    <div class="papers-two">
      <nav class="papers-list" aria-label="Joints">
        {sheets.map(({ joint, verdict, decision }) => (
          <button
            key={joint}
            type="button"
            aria-current={joint === chosen.joint ? 'true' : undefined}
            data-testid={`sheet-of-${joint}`}
            onClick={() => choose({ part: JOINTS_PART, of: joint })}
          >
            <b>{joint}</b>
            <span>
              {verdict}
              {decision && `, ${DECISION_SAYINGS[decision]}`}
            </span>
          </button>
        ))}
      </nav>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keyboard */}
      <div class="papers-sheet" tabIndex={0} key={chosen.joint}>
        <SheetView what={() => ofSheet(chosen.joint)} />
      </div>
    </div>
  );
}
