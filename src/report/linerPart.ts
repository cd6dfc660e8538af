/** The liner as it was run: the tally, and the joints drawn to scale at their depths. */
import { wellPath } from '../engineering/survey.ts';
import { decimal, UNKNOWN } from '../figures.ts';
import type { Joint } from '../plan/job.ts';
import { placeOn, type Scale, TICK_SIZE } from '../sheet/axes.ts';
import { cutText } from '../sheet/fitText.ts';
import { type Flow, newSheet, roomLeft, sheetsOf, startFlow, takePlace } from '../sheet/flow.ts';
import { niceStep, stepDecimals, ticksWithin } from '../sheet/niceTicks.ts';
import { line, type Pen, text } from '../sheet/pen.ts';
import { type Sheet, sheetLink } from '../sheet/sheet.ts';
import { table } from '../sheet/table.ts';
import { type Facts, inside, jointKey, shownJoint, unitOf } from './facts.ts';
import { jointMarks } from './jointDrawing.ts';
import { verdictWords } from './jointVerdict.ts';
import { LINER } from './parts.ts';
import { pieceLegend } from './sheetLegend.ts';

export function linerPart(facts: Facts, pen: Pen): Sheet[] {
  const flow = startFlow(pen, LINER, 'liner');
  tally(flow, facts);
  const { joints } = facts.job;
  for (let from = 0; from < joints.length; from += MOST_DRAWN) {
    newSheet(flow);
    drawn(flow, facts, joints.slice(from, from + MOST_DRAWN));
  }
  return sheetsOf(flow);
}

const serialOf = (joint: Joint): string => String(joint.index + 1);

function tally(flow: Flow, facts: Facts): void {
  const { units } = facts;
  const { survey } = facts.job.engineering;
  const path = wellPath(
    survey.map(({ mdM, inclinationDeg, azimuthDeg }) => ({
      md: mdM,
      inclination: inclinationDeg,
      azimuth: azimuthDeg,
    })),
  );
  const length = unitOf(facts, 'length');
  const diameter = (mm: number): string => inside(facts, 'diameter', mm, units.system === 'metric' ? 1 : 3);
  const right = (head: string, unit: string) => ({ head, unit, align: 'right' as const });
  table(flow, {
    columns: [
      { head: 'No.', align: 'right' },
      { head: 'Joint' },
      { head: 'Kind' },
      { head: 'Zone' },
      right('Length', length),
      right('Top', length),
      right('Bottom', length),
      right('Expand from', length),
      right('Expand to', length),
      right('Top, true vertical', length),
      right('Outside diameter', unitOf(facts, 'diameter')),
    ],
    rows: facts.job.joints.map((joint) => [
      serialOf(joint),
      joint.requiredM > 0 ? { text: joint.name, href: sheetLink(jointKey(joint.name)) } : joint.name,
      joint.kind,
      joint.zone ?? '',
      inside(facts, 'length', joint.bottom - joint.top),
      inside(facts, 'length', joint.top),
      inside(facts, 'length', joint.bottom),
      joint.requiredM > 0 ? inside(facts, 'length', joint.from) : UNKNOWN,
      joint.requiredM > 0 ? inside(facts, 'length', joint.to) : UNKNOWN,
      survey.length > 0 ? inside(facts, 'length', path.at(joint.top).tvd) : UNKNOWN,
      diameter(joint.odMm),
    ]),
    none: '',
  });
}

/** Joints drawn on one sheet: a label each. */
const MOST_DRAWN = 60;
const LABEL_SIZE = 6.8;
const LABEL_APART = 9.4;

function drawn(flow: Flow, facts: Facts, joints: readonly Joint[]): void {
  const { pen } = flow;
  const height = roomLeft(flow) - 6;
  const at = takePlace(flow, height);
  const out = (m: number): number => facts.units.out('length', m);
  const top = out(joints[0]!.top);
  const bottom = out(joints.at(-1)!.bottom);
  const scale: Scale = { from: top, to: bottom, step: niceStep(bottom - top, 24) };
  const area = { top: at.y + 22, bottom: at.y + height - 6 };
  const place = placeOn(scale, area.top, area.bottom);
  const x = at.x + 62;
  const width = 34;
  const decimals = stepDecimals(scale.step);
  flow.marks.push(
    text(pen, at.x, at.y + 8, `Measured depth, ${unitOf(facts, 'length')}`, { size: 6.6, bold: true }),
    text(pen, x + width + 34, at.y + 8, 'Joint, kind, top to bottom, verdict', { size: 6.6, bold: true }),
    ...ticksWithin(scale.from, scale.to, scale.step).flatMap((depth) => [
      line([x - 22, place(depth), x - 8, place(depth)], 'soft', 0.4),
      text(pen, x - 25, place(depth) + TICK_SIZE * 0.36, decimal(depth, decimals), { size: TICK_SIZE, anchor: 'end' }),
    ]),
  );
  flow.marks.push(...pieceLegend(pen, at.x + at.width - 190, at.y + 8));
  for (const joint of joints) {
    const { gaps } = shownJoint(facts, joint.name);
    const depths = { top: out(joint.top), bottom: out(joint.bottom), from: out(joint.from), to: out(joint.to) };
    flow.marks.push(...jointMarks({ x, width, place }, joint, depths, gaps));
  }
  labels(flow, facts, joints, (joint) => place((out(joint.top) + out(joint.bottom)) / 2), x + width, {
    ...area,
    right: at.x + at.width,
  });
}

/** A label beside each joint, pushed apart where joints are shorter than a line, and led to its joint. */
function labels(
  flow: Flow,
  facts: Facts,
  joints: readonly Joint[],
  middleOf: (joint: Joint) => number,
  x: number,
  area: { readonly top: number; readonly bottom: number; readonly right: number },
): void {
  const { pen } = flow;
  const places = spread(joints.map(middleOf), area.top, area.bottom);
  joints.forEach((joint, i) => {
    const said = shownJoint(facts, joint.name);
    const y = places[i]!;
    const depths = `${inside(facts, 'length', joint.top)} to ${inside(facts, 'length', joint.bottom)} ${unitOf(facts, 'length')}`;
    const verdict = joint.requiredM > 0 ? `: ${verdictWords(said)}` : '';
    const words = `${serialOf(joint)}  ${joint.name}, ${joint.kind}, ${depths}${verdict}`;
    const href = joint.requiredM > 0 ? sheetLink(jointKey(joint.name)) : undefined;
    flow.marks.push(
      line([x + 8, middleOf(joint), x + 18, middleOf(joint), x + 28, y, x + 32, y], 'soft', 0.4),
      text(pen, x + 34, y + LABEL_SIZE * 0.36, cutText(pen.measure, words, LABEL_SIZE, false, area.right - x - 34), {
        size: LABEL_SIZE,
        href,
        tone: href ? 'link' : 'ink',
      }),
    );
  });
}

/** Places at least a line apart and as near as may be to where they are wanted, in the same order. */
export function spread(wanted: readonly number[], top: number, bottom: number): number[] {
  const apart = Math.min(LABEL_APART, (bottom - top) / Math.max(1, wanted.length - 1));
  const places = [...wanted];
  for (let i = 0; i < places.length; i += 1) {
    places[i] = Math.max(places[i]!, i === 0 ? top : places[i - 1]! + apart);
  }
  for (let i = places.length - 1; i >= 0; i -= 1) {
    places[i] = Math.min(places[i]!, i === places.length - 1 ? bottom : places[i + 1]! - apart);
  }
  return places;
}
