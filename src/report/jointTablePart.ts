/** All joints on one table, then every gap and every decision in full. */
import { decimal, percent, UNKNOWN } from '../figures.ts';
import { type Flow, heading, sheetsOf, startFlow } from '../sheet/flow.ts';
import type { Pen } from '../sheet/pen.ts';
import { type Sheet, sheetLink } from '../sheet/sheet.ts';
import { table } from '../sheet/table.ts';
import { dateTimeOf, expandedJoints, type Facts, jointKey, shown, shownJoint, traceLink, unitOf } from './facts.ts';
import { DECISION_WORDS, decisionsOf, gapRows } from './jointEvidence.ts';
import { VERDICT_TONES, verdictMs, verdictWords } from './jointVerdict.ts';
import { JOINT_TABLE } from './parts.ts';

export function jointTablePart(facts: Facts, pen: Pen): Sheet[] {
  const flow = startFlow(pen, JOINT_TABLE, 'joint-table');
  joints(flow, facts);
  gaps(flow, facts);
  decisions(flow, facts);
  return sheetsOf(flow);
}

const right = (head: string, unit = '') => ({ head, align: 'right' as const, ...(unit ? { unit } : {}) });

function joints(flow: Flow, facts: Facts): void {
  const length = unitOf(facts, 'length');
  const all = expandedJoints(facts);
  table(flow, {
    columns: [
      { head: 'Joint' },
      right('To expand', length),
      right('Expanded', length),
      right('±\u00a01σ', length),
      right('Coverage', '%'),
      right('Longest gap', length),
      { head: 'Verdict' },
      right('Pressure least', unitOf(facts, 'pressure')),
      right('mean', unitOf(facts, 'pressure')),
      right('most', unitOf(facts, 'pressure')),
      right('Feed', unitOf(facts, 'feed')),
      right('Passes'),
      right('Stalls'),
      right('Time', 'min'),
      { head: 'Decision' },
    ],
    rows: all.map((joint) => {
      const said = shownJoint(facts, joint.name);
      const { pressure, decision } = said;
      const kPa = (value: number | undefined): string => shown(facts, 'pressure', value);
      return [
        { text: joint.name, href: sheetLink(jointKey(joint.name)) },
        shown(facts, 'length', said.required),
        { text: shown(facts, 'length', said.expanded), bold: true },
        shown(facts, 'length', said.uncertainty),
        percent(said.coverage),
        shown(facts, 'length', said.longestGap),
        {
          text: verdictWords(said).replace('not reached', 'not\u00a0reached'),
          bold: true,
          tone: VERDICT_TONES[said.verdict],
          href: traceLink(verdictMs(facts, said), joint.name),
        },
        kPa(pressure?.min),
        kPa(pressure?.mean),
        kPa(pressure?.max),
        shown(facts, 'feed', said.feed?.mean),
        String(said.passes),
        String(said.stalls),
        decimal(said.minutes, 1),
        decision ? `${DECISION_WORDS[decision.action]}, ${decision.by}` : UNKNOWN,
      ];
    }),
    none: 'The plan has no joint to be expanded.',
    size: 7,
  });
}

function gaps(flow: Flow, facts: Facts): void {
  const unit = unitOf(facts, 'length');
  heading(flow, 'Every gap');
  table(flow, {
    columns: [
      { head: 'Joint' },
      right('From', unit),
      right('To', unit),
      right('Length', unit),
      { head: 'Cause' },
      { head: 'Rolled at', whole: true },
    ],
    rows: expandedJoints(facts).flatMap((joint) =>
      gapRows(facts, joint, shownJoint(facts, joint.name), facts.passes(joint.index)).map((row) => [
        joint.name,
        ...row,
      ]),
    ),
    none: 'None: all that was to be expanded is expanded.',
  });
}

function decisions(flow: Flow, facts: Facts): void {
  heading(flow, 'Every decision');
  table(flow, {
    columns: [
      { head: 'Joint' },
      { head: 'Decision' },
      { head: 'By' },
      { head: 'When', whole: true },
      { head: 'Reason' },
    ],
    rows: decisionsOf(facts).map(({ joint, action, by, at, reason }) => [
      joint,
      { text: DECISION_WORDS[action], bold: true, tone: action === 'accept' ? 'good' : 'bad' },
      by,
      dateTimeOf(facts, Date.parse(at)),
      reason,
    ]),
    none: 'No joint has been accepted or rejected.',
  });
}
