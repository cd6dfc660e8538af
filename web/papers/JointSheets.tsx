/** The joints that are to be expanded, each with its verdict, and the sheet of the one that was chosen. */
import { z } from 'zod/mini';
import { VERDICTS } from '../../src/causes.ts';
import { openDialog } from '../frame/dialogs.ts';
import { DECISION_SAYINGS } from '../joints/decisionWords.ts';
import { VERDICT_SIGNS } from '../joints/jointRow.ts';
import { Mark } from '../Mark.tsx';
import { apiOf } from '../recorded.ts';
import { commandReplay } from '../replay/barWanted.ts';
import { looking } from '../replay/replayState.ts';
import { job, selectedJoint, unitSystem } from '../state.ts';
import { JOINTS_PART, papersAt } from './papersAddress.ts';
import { choose, useTold } from './papersState.ts';
import { SheetView } from './SheetView.tsx';
import { SignatureList } from './SignatureList.tsx';
import { SignButton, Standing } from './SignPart.tsx';
import { signaturesSchema } from './signState.ts';

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
  const told = useTold(sheetsSchema, () => apiOf('sheets'));
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
              <Mark name={VERDICT_SIGNS[verdict]} size={15} /> {verdict}
              {decision && `, ${DECISION_SAYINGS[decision]}`}
            </span>
          </button>
        ))}
      </nav>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keyboard */}
      <div class="papers-sheet" tabIndex={0} key={chosen.joint}>
        <JointHead joint={chosen.joint} />
        <SheetView what={() => ofSheet(chosen.joint)} />
      </div>
    </div>
  );
}

/** What people made of the joint: decided, signed; and where they do it. */
function JointHead({ joint }: { readonly joint: string }) {
  const signed = useTold(signaturesSchema, () => apiOf('signatures')).value;
  const its =
    signed.kind === 'here'
      ? signed.what.signatures.filter(({ subject, of }) => subject === 'joint' && of === joint)
      : [];
  const needed = signed.kind === 'here' ? signed.what.subjects.find(({ subject }) => subject === 'joint') : undefined;
  return (
    <header class="joint-head">
      <button type="button" class="is-first" data-testid="sheet-decide" onClick={() => decide(joint)}>
        Accept or reject…
      </button>
      <SignButton what={{ subject: 'joint', of: joint }} />
      {needed && <Standing needed={needed.signatures} its={its} />}
      <button type="button" data-testid="sheet-what-if" onClick={() => (openDialog.value = 'what if')}>
        What if…
      </button>
      <button type="button" onClick={() => print()} title="This sheet alone, as the browser prints">
        Print this sheet
      </button>
      {its.length > 0 && <SignatureList signatures={its} />}
    </header>
  );
}

/** The sheet is of the newest end, and so is what is decided on it. */
function decide(joint: string): void {
  if (looking.peek().kind === 'replay') commandReplay('live');
  selectedJoint.value = job.peek()?.joints.findIndex(({ name }) => name === joint) ?? null;
  openDialog.value = 'decide';
}
