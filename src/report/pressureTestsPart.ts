/** Every step that was proven by a pressure, each with the pressure around it, its hold, what it lost, and by what rule. */
import { CHANNEL_INDEX } from '../channels.ts';
import { decimal } from '../figures.ts';
import { gapAfterMs } from '../pipeline/period.ts';
import type { Hanger } from '../plan/engineering.ts';
import type { RunRecord } from '../record/recordSchema.ts';
import { rowsUpTo } from '../replay/sampleColumns.ts';
import { frame, type PlotBox, placeOn, type Scale, scaleOf, TICK_SIZE, ticksLeft, valuesOf } from '../sheet/axes.ts';
import { curveRuns } from '../sheet/curveRuns.ts';
import { type Flow, heading, paragraph, sheetsOf, startFlow, takePlace } from '../sheet/flow.ts';
import { type Pair, pairs } from '../sheet/pairs.ts';
import { box, line, type Pen, runs, text } from '../sheet/pen.ts';
import type { Mark, Sheet, Tone } from '../sheet/sheet.ts';
import { table } from '../sheet/table.ts';
import type { StepKind } from '../steps.ts';
import { dateTimeOf, type Facts, insideWithUnit, lasted, shown, timeOf, traceLink, unitOf, zoneOf } from './facts.ts';
import { PRESSURE_TESTS } from './parts.ts';

type RecordStep = NonNullable<RunRecord['steps']>[number];

/** Which pressure a kind of step is judged on; those that are left out have no chart. */
const CHANNEL_OF: Readonly<Partial<Record<StepKind, 'standpipePressure' | 'annulusPressure'>>> = {
  ball: 'standpipePressure',
  'pressure step': 'standpipePressure',
  'annulus test': 'annulusPressure',
  'sub opened': 'standpipePressure',
};

const OUTCOME_TONES: Readonly<Record<RecordStep['outcome'], Tone>> = {
  passed: 'good',
  failed: 'bad',
  open: 'soft',
  'not proven': 'doubt',
};

export function pressureTestsPart(facts: Facts, pen: Pen): Sheet[] {
  const flow = startFlow(pen, PRESSURE_TESTS, 'pressure-tests');
  const steps = facts.record.steps ?? [];
  table(flow, {
    columns: [
      { head: 'Step' },
      { head: 'Began', whole: true },
      { head: 'Ended', whole: true },
      { head: 'Outcome' },
      { head: 'What was found' },
    ],
    rows: steps.map(({ kind, name, from, to, outcome, detail }) => [
      `${kind}: ${name}`,
      { text: dateTimeOf(facts, Date.parse(from)), href: traceLink(Date.parse(from)) },
      to === null ? 'open' : timeOf(facts, Date.parse(to)),
      { text: outcome, bold: true, tone: OUTCOME_TONES[outcome] },
      detail,
    ]),
    none: 'No step of the hanger was recognised on this run.',
  });
  for (const step of steps) if (CHANNEL_OF[step.kind]) chart(flow, facts, step);
  return sheetsOf(flow);
}

/** The rule that a step is judged by, and where it comes from. */
function ruleOf(facts: Facts, { kind, name }: RecordStep): string | null {
  const hanger: Hanger | undefined = facts.job.engineering.hanger;
  if (kind === 'annulus test' && hanger?.annulusTest) {
    const { pressureKpa, holdMs, maxDeclineShare, stabilisedKpaPerMin, rule } = hanger.annulusTest;
    return (
      `at ${insideWithUnit(facts, 'pressure', pressureKpa)} for ${decimal(holdMs / 60_000, 1)} min, steady within ` +
      `${insideWithUnit(facts, 'pressure', stabilisedKpaPerMin)} a minute before it starts, at most ` +
      `${decimal(maxDeclineShare * 100, 1)} % decline. Source: ${rule}`
    );
  }
  const step = kind === 'pressure step' ? hanger?.steps.find((one) => one.name === name) : undefined;
  if (!step) return null;
  const then = step.shears ? ', shears when it is passed' : '';
  return `${insideWithUnit(facts, 'pressure', step.pressureKpa)} held for ${decimal(step.holdMs / 60_000, 1)} min${then}. Source: hanger programme of the plan`;
}

const CHART_HEIGHT = 150;
/** Time shown around a step: a share of its length, and at least and at most so much, ms. */
const AROUND_SHARE = 0.35;
const AROUND_LEAST_MS = 60_000;
const AROUND_MOST_MS = 600_000;

function chart(flow: Flow, facts: Facts, step: RecordStep): void {
  heading(flow, `${step.kind}: ${step.name}`, CHART_HEIGHT + 90);
  pairs(flow, stepPairs(facts, step), 4);
  const rule = ruleOf(facts, step);
  if (rule) paragraph(flow, `Rule: ${rule}.`, { size: 7.6 });
  const at = takePlace(flow, CHART_HEIGHT + 42);
  const plot = { x: at.x + 44, y: at.y + 20, width: at.width - 48, height: CHART_HEIGHT };
  flow.marks.push(...chartMarks(facts, flow.pen, step, plot, at.x));
}

function stepPairs(facts: Facts, { outcome, from, to, numbers }: RecordStep): Pair[] {
  const fromMs = Date.parse(from);
  const toMs = to === null ? Number.NaN : Date.parse(to);
  return [
    {
      name: 'Outcome (follow it to the traces)',
      value: outcome,
      tone: OUTCOME_TONES[outcome],
      href: traceLink(fromMs),
    },
    { name: 'Began', value: dateTimeOf(facts, fromMs) },
    { name: 'Lasted, min:s', value: lasted(toMs - fromMs) },
    ...numbers.map(({ name, value, unit }) => ({
      name,
      value: `${shown(facts, 'count', value, decimalsOf(value))} ${unit}`.trim(),
    })),
  ];
}

/** As many as the record wrote. */
const decimalsOf = (value: number): number => Math.min(3, String(value).split('.')[1]?.length ?? 0);

function chartMarks(facts: Facts, pen: Pen, step: RecordStep, plot: PlotBox, left: number): Mark[] {
  const { samples } = facts.input.worked.course;
  const channel = CHANNEL_OF[step.kind]!;
  const fromMs = Date.parse(step.from);
  const toMs = step.to === null ? samples.sourceMs[samples.rows - 1]! : Date.parse(step.to);
  const around = Math.min(AROUND_MOST_MS, Math.max(AROUND_LEAST_MS, AROUND_SHARE * (toMs - fromMs)));
  const first = rowsUpTo(samples, fromMs - around);
  const last = rowsUpTo(samples, toMs + around);
  const values = samples.channels[CHANNEL_INDEX[channel]]!.subarray(first, last).map((kPa) =>
    facts.units.out('pressure', kPa),
  );
  const times = samples.sourceMs.subarray(first, last);
  const time: Scale = { from: fromMs - around, to: toMs + around, step: timeStep(toMs - fromMs + 2 * around) };
  const scale = scaleOf([...valuesOf([values], 0)].filter(Number.isFinite), 5);
  const placeTime = placeOn(time, plot.x, plot.x + plot.width);
  const place = placeOn(scale, plot.y + plot.height, plot.y);
  const held = heldFrom(facts, step, fromMs, toMs);
  const hold = { x: placeTime(held), width: placeTime(toMs) - placeTime(held) };
  const isHold = held > fromMs || step.kind === 'pressure step';
  const label = channel === 'annulusPressure' ? 'Annulus pressure' : 'Standpipe pressure';
  return [
    box(hold.x, plot.y, hold.width, plot.height, ['solid', 'tint']),
    ...ticksLeft(pen, plot, scale, 'up'),
    ...timeTicks(facts, pen, plot, time),
    ...readings(times, values, placeTime, place, facts),
    line([hold.x, plot.y, hold.x, plot.y + plot.height], 'ink', 0.8, [3, 1.5]),
    line([hold.x + hold.width, plot.y, hold.x + hold.width, plot.y + plot.height], 'ink', 0.8, [3, 1.5]),
    text(pen, hold.x + hold.width / 2, plot.y - 3.5, step.to === null ? 'open' : isHold ? 'hold' : 'step', {
      size: 6.4,
      anchor: 'middle',
      bold: true,
    }),
    ...declineMarks(step, hold, place),
    frame(plot),
    text(pen, left, plot.y - 11, `${label}, ${unitOf(facts, 'pressure')}`, { size: 6.6, bold: true }),
    text(pen, plot.x + plot.width, plot.y + plot.height + 19, `Rig time, ${zoneOf(facts)}`, {
      size: 6.4,
      tone: 'soft',
      anchor: 'end',
    }),
  ];
}

const numberOf = ({ numbers }: RecordStep, name: string): number | undefined =>
  numbers.find((one) => one.name === name)?.value;

/** When the hold began that a step was judged by: so many minutes before its end. */
function heldFrom({ record, run }: Facts, step: RecordStep, fromMs: number, toMs: number): number {
  // The run's own step has the minutes as they are; the record has them rounded.
  const own = run.steps.steps[record.steps!.indexOf(step)]!;
  const minutes = own.numbers.find(({ name }) => name === 'minutes' || name === 'minutes held')?.value.value;
  return minutes === undefined ? fromMs : Math.max(fromMs, toMs - minutes * 60_000);
}

/** From the pressure that the hold began with straight to the one that it ended with. */
function declineMarks(
  step: RecordStep,
  hold: { readonly x: number; readonly width: number },
  place: (value: number) => number,
): Mark[] {
  const from = numberOf(step, 'pressure at start');
  const to = numberOf(step, 'pressure at end');
  if (from === undefined || to === undefined) return [];
  return [line([hold.x, place(from), hold.x + hold.width, place(to)], 'bad', 0.9, [5, 2])];
}

/** The readings, with the line lifted where none came. */
function readings(
  times: Float64Array,
  values: Float64Array,
  placeTime: (ms: number) => number,
  place: (value: number) => number,
  { run, job }: Facts,
): Mark[] {
  const mostMs = gapAfterMs(run.period, job.stream.gapAfterMs);
  const xs: number[] = [];
  const ys: number[] = [];
  times.forEach((ms, i) => {
    if (i > 0 && ms - times[i - 1]! > mostMs) {
      xs.push(Number.NaN);
      ys.push(Number.NaN);
    }
    xs.push(placeTime(ms));
    ys.push(place(values[i]!));
  });
  return [
    runs(
      curveRuns(
        xs.length,
        (i) => xs[i]!,
        (i) => ys[i]!,
        false,
      ),
      'ink',
      0.9,
    ),
  ];
}

const TIME_STEPS_S = [10, 20, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14_400, 21_600, 43_200, 86_400];
const MOST_TIME_TICKS = 8;

/** ms between two ticks: round on a clock. */
export function timeStep(spanMs: number): number {
  const found = TIME_STEPS_S.find((s) => spanMs / (1000 * s) <= MOST_TIME_TICKS);
  return 1000 * (found ?? 86_400 * Math.ceil(spanMs / (86_400_000 * MOST_TIME_TICKS)));
}

function timeTicks(facts: Facts, pen: Pen, plot: PlotBox, time: Scale): Mark[] {
  const offset = facts.job.stream.utcOffsetMs;
  const place = placeOn(time, plot.x, plot.x + plot.width);
  const marks: Mark[] = [];
  for (let ms = Math.ceil((time.from + offset) / time.step) * time.step - offset; ms <= time.to; ms += time.step) {
    marks.push(
      line([place(ms), plot.y, place(ms), plot.y + plot.height], 'faint', 0.35),
      text(pen, place(ms), plot.y + plot.height + TICK_SIZE + 3, timeOf(facts, ms), {
        size: TICK_SIZE,
        anchor: 'middle',
      }),
    );
  }
  return marks;
}
