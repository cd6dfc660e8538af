/** Answers the page's questions about a run: holds its samples, its players, and counts it again under a scenario. */
import { jointStateOf } from '../../src/pipeline/view.ts';
import type { SourceCounts } from '../../src/record/record.ts';
import { compareRecords } from '../../src/replay/compareRecords.ts';
import type { Course } from '../../src/replay/course.ts';
import { jointsBeside } from '../../src/replay/jointsBeside.ts';
import { knownNow } from '../../src/replay/knownNow.ts';
import { type LatestSaid, latestSaid, withLatestSaid } from '../../src/replay/latestSaid.ts';
import { overviewOf } from '../../src/replay/overview.ts';
import { passesBetween } from '../../src/replay/passes.ts';
import {
  type Changed,
  changedSince,
  createPlayer,
  extendPlayer,
  type Player,
  seek,
  shownOf,
  stepBy,
  type Told,
  told,
} from '../../src/replay/player.ts';
import { createSampleColumns, type SampleColumns } from '../../src/replay/sampleColumns.ts';
import { decodeSamples } from '../../src/replay/sampleWire.ts';
import { type Scenario, scenarioProblems } from '../../src/replay/scenario.ts';
import { noRows, playThrough, type ShownRows } from '../../src/replay/shownRows.ts';
import { type CountedSide, countSide, courseUnder } from '../../src/replay/whatIf.ts';
import type { Answer, Beside, FetchedCourse, Question, SideAsked, SideJoints, Telling } from './replayProtocol.ts';

/** Courses that were counted are kept, the oldest given up: two that stand beside each other, and those before. */
const SIDES_KEPT = 4;
/** Runs held beside the one that is watched; each may be 50 MB. */
const RUNS_KEPT = 2;
const OTHER_RUN = 'run ';

interface Held {
  readonly run: string;
  readonly samples: SampleColumns;
  readonly shown: ShownRows;
  readonly source: SourceCounts;
  readonly seen: Player;
  /** Made when it is first asked for; what is known now changes with every extension. */
  known: Player | null;
  /** What people said last, up to the end of what was fetched. */
  readonly said: LatestSaid;
}

type OtherRun = Pick<Held, 'source'> & { readonly course: Course };

export class ReplayDesk {
  readonly #clockMs: () => number;
  #held: Held | null = null;
  #told: Told | null = null;
  /** By what was asked for. */
  readonly #sides = new Map<string, CountedSide>();
  readonly #runs = new Map<string, OtherRun>();

  constructor(clockMs: () => number) {
    this.#clockMs = clockMs;
  }

  /** Never throws for what comes from outside. */
  answer(question: Question): Answer {
    if (question.ask === 'load') return this.#load(question.course, question.bytes);
    if (question.ask === 'hold') return this.#hold(question);
    const held = this.#held;
    if (!held || held.samples.rows === 0) return { answer: 'refused', why: 'The run has no samples yet.' };
    switch (question.ask) {
      case 'seek':
        return this.#show(held, question, (player) => seek(player, question.ms));
      case 'step':
        return this.#show(held, question, (player) => stepBy(player, question.by));
      case 'what if':
        return this.#whatIf(held, question.scenario);
      case 'beside':
        return this.#beside(held, question.a, question.b);
      case 'passes':
        return this.#passes(held, question);
      case 'record':
        return { answer: 'record', record: this.#original(held).record };
    }
  }

  #load({ run, source, ...given }: FetchedCourse, bytes: Uint8Array): Answer {
    const before = this.#held?.run === run ? this.#held : null;
    const samples = before?.samples ?? createSampleColumns();
    const decoded = decodeSamples(bytes, samples);
    if (decoded.kind === 'bad') {
      this.#held = null;
      return { answer: 'refused', why: `The samples of the run: ${decoded.reason}.` };
    }
    const course: Course = { ...given, depthOffsetM: 0, samples };
    const seen = before?.seen ?? createPlayer(course);
    if (before) extendPlayer(seen, given.entries);
    const shown = before?.shown ?? noRows();
    playThrough(seen, shown);
    const said = latestSaid(seen.at.run);
    this.#held = { run, samples, shown, source, seen, known: null, said };
    this.#told = null;
    // What was counted of the run as far as it had come is no longer the run.
    for (const key of [...this.#sides.keys()]) if (!key.startsWith(OTHER_RUN)) this.#sides.delete(key);
    return { answer: 'loaded', rows: samples.rows, overview: overviewOf(seen, shown) };
  }

  #hold({ run, course, bytes }: Extract<Question, { ask: 'hold' }>): Answer {
    const { source, run: _, ...given } = course;
    const samples = createSampleColumns();
    const decoded = decodeSamples(bytes, samples);
    if (decoded.kind === 'bad') return { answer: 'refused', why: `The samples of the run: ${decoded.reason}.` };
    if (samples.rows === 0) return { answer: 'refused', why: 'That run has no samples.' };
    put(this.#runs, run, { source, course: { ...given, depthOffsetM: 0, samples } }, RUNS_KEPT);
    this.#sides.delete(OTHER_RUN + run);
    return { answer: 'held' };
  }

  #show(held: Held, { knowing, anew }: Telling, move: (player: Player) => unknown): Answer {
    let player = held.seen;
    if (knowing === 'known') {
      held.known ??= createPlayer(knownNow(held.seen.course));
      player = held.known;
    }
    move(player);
    const atMs = player.at.run.lastMs;
    const changed = anew || !this.#told ? null : changedSince(this.#told, player.at);
    this.#told = told(player.at);
    const names = player.at.run.job.joints.map(({ name }) => name);
    const asKnown = <Instant extends Changed>(instant: Instant): Instant =>
      knowing === 'known' ? withLatestSaid(instant, held.said, names) : instant;
    if (changed) return { answer: 'changed', changed: asKnown(changed), atMs };
    return { answer: 'shown', whole: asKnown(shownOf(player.at)), atMs };
  }

  #original({ seen, source }: Held): CountedSide {
    return this.#side('original', () => countSide(seen.course, source));
  }

  #side(key: string, count: () => CountedSide): CountedSide {
    const side = this.#sides.get(key) ?? count();
    put(this.#sides, key, side, SIDES_KEPT);
    return side;
  }

  /** A text says why there is none. */
  #sideOf(held: Held, asked: SideAsked): CountedSide | string {
    if (asked.kind === 'original') return this.#original(held);
    if (asked.kind === 'scenario') {
      const { scenario } = asked;
      const why = whyNot(held, scenario);
      if (why !== null) return why;
      const key = `scenario ${JSON.stringify({ ...scenario, name: '' })}`;
      return this.#side(key, () => countSide(courseUnder(held.seen.course, scenario), held.source));
    }
    const other = this.#runs.get(asked.run);
    return other
      ? this.#side(OTHER_RUN + asked.run, () => countSide(other.course, other.source))
      : `Run ${asked.run} is not held.`;
  }

  #beside(held: Held, a: SideAsked, b: SideAsked): Answer {
    const [first, second] = [this.#sideOf(held, a), this.#sideOf(held, b)];
    for (const side of [first, second]) if (typeof side === 'string') return { answer: 'refused', why: side };
    const isOneRun = a.kind !== 'run' && b.kind !== 'run';
    return { answer: 'beside', beside: besideOf(first as CountedSide, second as CountedSide, isOneRun) };
  }

  #passes(held: Held, { side: asked, fromM, toM }: Extract<Question, { ask: 'passes' }>): Answer {
    const side = this.#sideOf(held, asked);
    if (typeof side === 'string') return { answer: 'refused', why: side };
    const { samples, shown, position } = side;
    return { answer: 'passes', passes: passesBetween({ samples, shown, job: position.run.job }, fromM, toM) };
  }

  #whatIf(held: Held, scenario: Scenario): Answer {
    const why = whyNot(held, scenario);
    if (why !== null) return { answer: 'refused', why };
    const end = this.#original(held);
    const fromMs = this.#clockMs();
    const counted = countSide(courseUnder(held.seen.course, scenario), held.source);
    const tookMs = this.#clockMs() - fromMs;
    const beside = besideOf(end, counted, true);
    return { answer: 'counted', counted: { scenario, comparison: beside.comparison!, beside, tookMs } };
  }
}

function whyNot({ seen }: Held, scenario: Scenario): string | null {
  const problem = scenarioProblems(seen.course.plan, scenario)[0];
  return problem ? `${problem.path}: ${problem.text}` : null;
}

/** As the newest one; the oldest is given up where there are too many. */
function put<Value>(into: Map<string, Value>, key: string, value: Value, most: number): void {
  into.delete(key);
  into.set(key, value);
  for (const oldest of into.keys()) {
    if (into.size <= most) break;
    into.delete(oldest);
  }
}

function besideOf(first: CountedSide, second: CountedSide, isOneRun: boolean): Beside {
  const [a, b] = [jointsAt(first), jointsAt(second)];
  return {
    a,
    b,
    joints: jointsBeside(
      { job: first.position.run.job, joints: a.joints },
      { job: second.position.run.job, joints: b.joints },
    ),
    comparison: isOneRun ? compareRecords(first.record, second.record) : null,
  };
}

const jointsAt = ({ position: { run, plan } }: CountedSide): SideJoints => ({
  plan,
  joints: run.job.joints.map(({ index }) => jointStateOf(run, index)),
});
