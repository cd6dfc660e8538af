/** The plan as it was run: liner, tools, string, hole, fluid, flow path, hanger programme, and what it turns off. */

import { decimal, UNKNOWN } from '../figures.ts';
import type { Cell, Column } from '../sheet/cell.ts';
import { type Flow, heading, paragraph, sheetsOf, startFlow } from '../sheet/flow.ts';
import { type Pair, pairs } from '../sheet/pairs.ts';
import type { Pen } from '../sheet/pen.ts';
import type { Sheet } from '../sheet/sheet.ts';
import { table } from '../sheet/table.ts';
import { type Facts, inside, insideWithUnit, unitOf, zoneOf } from './facts.ts';
import { PLAN } from './parts.ts';

export function planPart(facts: Facts, pen: Pen): Sheet[] {
  const flow = startFlow(pen, PLAN, 'plan');
  const last = facts.input.worked.versions.length;
  if (last > 1) paragraph(flow, `The plan in force at the end of the run: version ${last} of ${last}.`);
  pairs(flow, summary(facts), 4);
  tools(flow, facts);
  string(flow, facts);
  hole(flow, facts);
  wellPath(flow, facts);
  balls(flow, facts);
  hanger(flow, facts);
  screenTests(flow, facts);
  const off = facts.record.turnedOff ?? [];
  heading(flow, 'Not worked out, for want of what the plan leaves out', 20);
  if (off.length === 0) paragraph(flow, 'Nothing: the plan has all parts.');
  for (const line of off) paragraph(flow, line);
  return sheetsOf(flow);
}

const diameterDecimals = ({ units }: Facts): number => (units.system === 'metric' ? 1 : 3);
const diameter = (facts: Facts, value: number | undefined): string =>
  inside(facts, 'diameter', value, diameterDecimals(facts));

function summary(facts: Facts): Pair[] {
  const { job } = facts;
  const { fluid, flowPath, pumps, depthTag } = job.engineering;
  const all: Pair[] = [
    { name: 'Top of the liner', value: insideWithUnit(facts, 'length', job.joints[0]!.top) },
    { name: 'Bottom of the liner', value: insideWithUnit(facts, 'length', job.joints.at(-1)!.bottom) },
    { name: 'To be expanded', value: insideWithUnit(facts, 'length', job.requiredM) },
    {
      name: 'Joints, of those to be expanded',
      value: `${job.joints.length}, ${job.joints.filter((one) => one.requiredM > 0).length}`,
    },
    { name: 'Rig time', value: zoneOf(facts) },
    { name: 'Units of the plan, of the stream', value: `${job.units}, ${job.stream.units}` },
  ];
  if (job.blockWeightKn !== undefined) {
    all.push({ name: 'Block weight', value: insideWithUnit(facts, 'force', job.blockWeightKn) });
  }
  if (fluid) {
    const decimals = facts.units.system === 'metric' ? 0 : 2;
    all.push({ name: 'Fluid density', value: insideWithUnit(facts, 'density', fluid.densityKgPerM3, decimals) });
    const dials = fluid.dials.map(({ rpm, degrees }) => `${rpm}: ${degrees}`).join(', ');
    if (dials) all.push({ name: 'Viscometer, rpm: degrees', value: dials });
  }
  if (flowPath) {
    const area = (value: number): string => inside(facts, 'area', value, facts.units.system === 'metric' ? 0 : 3);
    all.push(
      { name: 'Flow path shifts at', value: insideWithUnit(facts, 'flow', flowPath.shiftsAtLPerMin) },
      {
        name: `Nozzle area, low and high path, ${unitOf(facts, 'area')}`,
        value: `${area(flowPath.lowAreaMm2)}, ${area(flowPath.highAreaMm2)}`,
      },
    );
  }
  if (depthTag) {
    all.push({
      name: 'Shear device for the depth tag',
      value: `${insideWithUnit(facts, 'length', depthTag.depthM)}, ${job.tools[depthTag.tool]!.name} tool`,
    });
  }
  if (pumps.length > 0) {
    const volume = (value: number): string =>
      inside(facts, 'strokeVolume', value, facts.units.system === 'metric' ? 2 : 4);
    all.push({
      name: `Pumps, ${unitOf(facts, 'strokeVolume')} less efficiency`,
      value: pumps.map(({ name, litresPerStroke }) => `${name}: ${volume(litresPerStroke)}`).join(', '),
    });
  }
  return all;
}

const right = (head: string, unit: string): Column => ({ head, unit, align: 'right' });

function tools(flow: Flow, facts: Facts): void {
  heading(flow, 'Tools');
  table(flow, {
    columns: [
      { head: 'Tool' },
      right('Rolling contact above the end of the string', unitOf(facts, 'length')),
      right('Hole that it can follow, least', unitOf(facts, 'diameter')),
      right('most', unitOf(facts, 'diameter')),
      { head: 'Expands' },
    ],
    rows: facts.job.tools.map(({ index, name, offsetM, rangeMm }) => [
      name,
      inside(facts, 'length', offsetM),
      diameter(facts, rangeMm?.min),
      diameter(facts, rangeMm?.max),
      Object.values(facts.job.recipes)
        .filter((recipe) => recipe?.tools.includes(index))
        .map((recipe) => recipe!.kind)
        .join(', ') || UNKNOWN,
    ]),
    none: '',
  });
}

function string(flow: Flow, facts: Facts): void {
  heading(flow, 'String, from the surface down');
  table(flow, {
    columns: [
      { head: 'Part' },
      right('Length', unitOf(facts, 'length')),
      right('Outside diameter', unitOf(facts, 'diameter')),
      right('Inside diameter', unitOf(facts, 'diameter')),
      right('Mass in air', unitOf(facts, 'massPerLength')),
    ],
    rows: facts.job.engineering.string.map(({ name, lengthM, odMm, idMm, massKgPerM }) => [
      name,
      inside(facts, 'length', lengthM),
      diameter(facts, odMm),
      diameter(facts, idMm),
      inside(facts, 'massPerLength', massKgPerM, 1),
    ]),
    none: 'The plan gives none.',
  });
}

function hole(flow: Flow, facts: Facts): void {
  heading(flow, 'Hole');
  table(flow, {
    columns: [
      right('From', unitOf(facts, 'length')),
      right('To', unitOf(facts, 'length')),
      right('Inside diameter', unitOf(facts, 'diameter')),
      { head: 'Friction', align: 'right' },
    ],
    rows: facts.job.engineering.hole.map(({ fromM, toM, idMm, friction }) => [
      inside(facts, 'length', fromM),
      inside(facts, 'length', toM),
      diameter(facts, idMm),
      decimal(friction, 2),
    ]),
    none: 'The plan gives none.',
  });
}

function wellPath(flow: Flow, facts: Facts): void {
  heading(flow, 'Survey');
  table(flow, {
    columns: [right('Measured depth', unitOf(facts, 'length')), right('Inclination', '°'), right('Azimuth', '°')],
    rows: facts.job.engineering.survey.map(({ mdM, inclinationDeg, azimuthDeg }) => [
      inside(facts, 'length', mdM),
      decimal(inclinationDeg, 2),
      decimal(azimuthDeg, 2),
    ]),
    none: 'The plan gives none: the hole is taken as vertical.',
  });
}

function balls(flow: Flow, facts: Facts): void {
  const { balls: all } = facts.job.engineering;
  if (all.length === 0) return;
  const dropped = facts.record.journal?.filter(({ action }) => action === 'drop ball') ?? [];
  heading(flow, 'Balls');
  table(flow, {
    columns: [
      { head: 'Ball' },
      { head: 'For' },
      right('Seat', unitOf(facts, 'length')),
      right('Flow', unitOf(facts, 'flow')),
      right('Slowed before the seat by', unitOf(facts, 'volume')),
      { head: 'Dropped, by the journal' },
    ],
    rows: all.map(({ name, purpose, seatM, flowLPerMin, slowBeforeM3 }): Cell[] => [
      name,
      purpose,
      inside(facts, 'length', seatM),
      inside(facts, 'flow', flowLPerMin),
      inside(facts, 'volume', slowBeforeM3, 1),
      dropped
        .filter(({ text }) => text.startsWith(name))
        .map(({ at, by }) => `${at.slice(11, 19)} UTC, ${by}`)
        .join('; ') || UNKNOWN,
    ]),
    none: '',
  });
}

function hanger(flow: Flow, facts: Facts): void {
  const { hanger: programme } = facts.job.engineering;
  if (!programme) return;
  heading(flow, 'Hanger programme');
  const minutes = (ms: number): string => decimal(ms / 60_000, 1);
  const rows: Cell[][] = programme.steps.map(({ name, pressureKpa, holdMs, shears }) => [
    name,
    inside(facts, 'pressure', pressureKpa),
    minutes(holdMs),
    shears ? 'shears when it is passed' : 'held',
  ]);
  const { annulusTest: test, pull } = programme;
  if (test) {
    rows.push(['annulus test', inside(facts, 'pressure', test.pressureKpa), minutes(test.holdMs), test.rule]);
  }
  table(flow, {
    columns: [{ head: 'Step' }, right('Pressure', unitOf(facts, 'pressure')), right('Hold', 'min'), { head: 'Rule' }],
    rows,
    none: 'No pressure step.',
  });
  if (!pull) return;
  const force = (value: number): string => insideWithUnit(facts, 'force', value);
  paragraph(
    flow,
    `Push and pull: ${force(pull.upKn)} over the free up-weight, ${force(pull.downKn)} under the free down-weight, ` +
      `at most ${insideWithUnit(facts, 'length', pull.residualM)} left over.`,
  );
}

function screenTests(flow: Flow, facts: Facts): void {
  const { screenTests: done } = facts.job.engineering;
  if (!done) return;
  heading(flow, 'Fluid through a screen coupon, as written down');
  table(flow, {
    columns: [
      { head: 'When', whole: true },
      { head: 'Coupon' },
      right('Volume', unitOf(facts, 'sampleVolume')),
      right('Time', 's'),
      { head: 'Result' },
    ],
    rows: done.tests.map(({ atMs, coupon, litres, seconds, passed }) => [
      `${new Date(atMs).toISOString().slice(0, 16).replace('T', ' ')} UTC`,
      coupon,
      inside(facts, 'sampleVolume', litres, 2),
      decimal(seconds, 0),
      passed ? 'passed' : 'plugged',
    ]),
    none: 'None.',
  });
  if (done.rule) paragraph(flow, `Rule: ${done.rule.source}.`);
}
