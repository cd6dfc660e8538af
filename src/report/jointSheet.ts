/** One joint on one sheet: what was asked, what became of it, every pass, and who decided what. */
import { decimal, percent, UNKNOWN } from '../figures.ts';
import type { Joint } from '../plan/job.ts';
import type { RecordJoint } from '../record/recordSchema.ts';
import { placeOn, type Scale, TICK_SIZE } from '../sheet/axes.ts';
import { cutText } from '../sheet/fitText.ts';
import { type Flow, sheetsOf, startFlow, takePlace } from '../sheet/flow.ts';
import { niceStep, stepDecimals, ticksWithin } from '../sheet/niceTicks.ts';
import { type Pair, pairs } from '../sheet/pairs.ts';
import { line, type Pen, text } from '../sheet/pen.ts';
import type { Mark, Sheet } from '../sheet/sheet.ts';
import {
  dateTimeOf,
  expandedJoints,
  type Facts,
  inside,
  jointKey,
  shown,
  shownJoint,
  traceLink,
  unitOf,
} from './facts.ts';
import { jointMarks, passMarks } from './jointDrawing.ts';
import { evidence } from './jointEvidence.ts';
import { trackHead, trackMarks } from './jointTracks.ts';
import { VERDICT_TONES, verdictMs, verdictWords } from './jointVerdict.ts';
import { JOINT_SHEETS } from './parts.ts';
import { recipeAt } from './recipeAt.ts';
import { isRolling } from './rollingPass.ts';
import { trackLegend } from './sheetLegend.ts';

export function* jointSheets(facts: Facts, pen: Pen): Generator<Sheet> {
  for (const joint of expandedJoints(facts)) yield jointSheet(facts, pen, joint);
}

/** @param joint to be expanded */
export function jointSheet(facts: Facts, pen: Pen, joint: Joint): Sheet {
  const said = shownJoint(facts, joint.name);
  const zone = joint.zone ? `, zone ${joint.zone}` : '';
  const title = cutText(pen.measure, `Joint ${joint.name}, ${joint.kind}${zone}`, 15, true, 470);
  const flow = startFlow(pen, JOINT_SHEETS, jointKey(joint.name), title);
  pairs(flow, numbersOf(facts, joint, said), 4);
  drawing(flow, facts, joint, said);
  evidence(flow, facts, joint, said);
  return sheetsOf(flow)[0]!;
}

function numbersOf(facts: Facts, joint: Joint, said: RecordJoint): Pair[] {
  const length = (value: number): string => `${shown(facts, 'length', value)} ${unitOf(facts, 'length')}`;
  const { acceptance } = facts.job;
  const limit = Number.isFinite(acceptance.longestGapM)
    ? `, at most ${inside(facts, 'length', acceptance.longestGapM)}`
    : '';
  const { pressure } = said;
  const at = (instant: string | null): string => (instant === null ? UNKNOWN : dateTimeOf(facts, Date.parse(instant)));
  return [
    {
      name: 'Verdict (follow it to the traces)',
      value: verdictWords(said),
      tone: VERDICT_TONES[said.verdict],
      href: traceLink(verdictMs(facts, said), joint.name),
    },
    {
      name: 'Coverage, and what is asked',
      value: `${percent(said.coverage)} %, at least ${percent(acceptance.coverage)} %`,
    },
    { name: 'Expanded, ± 1σ', value: `${shown(facts, 'length', said.expanded)} ± ${length(said.uncertainty)}` },
    { name: 'To be expanded', value: length(said.required) },
    { name: 'Swept without data', value: length(said.unproven) },
    { name: 'Longest gap', value: `${length(said.longestGap)}${limit}` },
    {
      name: `Pressure, least / mean / most, ${unitOf(facts, 'pressure')}`,
      value: pressure
        ? [pressure.min, pressure.mean, pressure.max].map((one) => shown(facts, 'pressure', one)).join(' / ')
        : UNKNOWN,
    },
    {
      name: 'Mean feed',
      value: said.feed ? `${shown(facts, 'feed', said.feed.mean)} ${unitOf(facts, 'feed')}` : UNKNOWN,
    },
    { name: 'Begun', value: at(said.startedAt) },
    { name: 'Left', value: at(said.finishedAt) },
    { name: 'Rolling passes, stalls', value: `${said.passes}, ${said.stalls}` },
    { name: 'Time at work', value: `${decimal(said.minutes, 1)} min` },
  ];
}

const DRAWING_HEIGHT = 356;
const AXIS_WIDTH = 42;
const PIPE_WIDTH = 26;
const LANES_WIDTH = 42;

/** The whole joint and a little above and below it. */
function depthScale(top: number, bottom: number): Scale {
  const edge = (bottom - top) * 0.015;
  return { from: top - edge, to: bottom + edge, step: niceStep(bottom - top, 12) };
}

function drawing(flow: Flow, facts: Facts, joint: Joint, said: RecordJoint): void {
  const { pen } = flow;
  const { units } = facts;
  const passes = facts.passes(joint.index).map((pass) => ({ ...pass, isRolling: isRolling(facts, joint, pass) }));
  const rolled = passes.filter((pass) => pass.isRolling).at(-1) ?? passes.at(-1);
  const { recipe, version } = recipeAt(facts, joint, rolled?.fromMs ?? Number.POSITIVE_INFINITY);
  const at = takePlace(flow, DRAWING_HEIGHT + 16);
  const plot = { top: at.y + trackHead, height: DRAWING_HEIGHT - trackHead };
  const scale = depthScale(said.top, said.bottom);
  const place = placeOn(scale, plot.top, plot.top + plot.height);
  const pipeX = at.x + AXIS_WIDTH;
  const lanesX = pipeX + PIPE_WIDTH + 6;
  const out = (m: number): number => units.out('length', m);
  const depths = { top: said.top, bottom: said.bottom, from: out(joint.from), to: out(joint.to) };
  flow.marks.push(
    ...depthAxis(pen, at, plot, scale, unitOf(facts, 'length'), lanesX + LANES_WIDTH),
    ...jointMarks({ x: pipeX, width: PIPE_WIDTH, place }, joint, depths, said.gaps),
    text(pen, lanesX + LANES_WIDTH / 2, at.y + 8, 'Ways down', { size: 6.6, bold: true, anchor: 'middle' }),
    ...passMarks(pen, passes, { x: lanesX, width: LANES_WIDTH, top: plot.top - 5 }, (m) => place(out(m))),
    ...trackMarks(
      facts,
      pen,
      recipe,
      passes,
      {
        x: lanesX + LANES_WIDTH + 6,
        y: at.y,
        width: at.x + at.width - lanesX - LANES_WIDTH - 6,
        height: DRAWING_HEIGHT,
      },
      scale,
    ),
    ...trackLegend(
      pen,
      at.x,
      at.y + DRAWING_HEIGHT + 11,
      passes,
      facts.input.worked.versions.length > 1 ? version : null,
    ),
  );
}

function depthAxis(
  pen: Pen,
  at: { readonly x: number; readonly y: number },
  plot: { readonly top: number; readonly height: number },
  scale: Scale,
  unit: string,
  edge: number,
): Mark[] {
  const place = placeOn(scale, plot.top, plot.top + plot.height);
  const decimals = Math.max(1, stepDecimals(scale.step));
  return [
    text(pen, at.x, at.y + 8, 'Depth', { size: 6.6, bold: true }),
    text(pen, at.x, at.y + 17, unit, { size: 6.2, tone: 'soft' }),
    ...ticksWithin(scale.from, scale.to, scale.step).flatMap((depth) => [
      line([at.x + AXIS_WIDTH - 5, place(depth), edge, place(depth)], 'faint', 0.35),
      text(pen, at.x + AXIS_WIDTH - 8, place(depth) + TICK_SIZE * 0.36, decimal(depth, decimals), {
        size: TICK_SIZE,
        anchor: 'end',
      }),
    ]),
  ];
}
