/** Answers the page's questions about a run: holds its samples, its players, and counts it again under a scenario. */
import { jointStateOf } from '../../src/pipeline/view.ts';
import { recordOf, type SourceCounts } from '../../src/record/record.ts';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import { compareRecords } from '../../src/replay/compareRecords.ts';
import type { Course, Position } from '../../src/replay/course.ts';
import { workWhole } from '../../src/replay/course.ts';
import { knownNow } from '../../src/replay/knownNow.ts';
import { type LatestSaid, latestSaid, withLatestSaid } from '../../src/replay/latestSaid.ts';
import { noDepths, overviewOf, playThrough, type ShownDepths } from '../../src/replay/overview.ts';
import { passesOf } from '../../src/replay/passes.ts';
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
import { countCourse, courseUnder } from '../../src/replay/whatIf.ts';
import type { Answer, FetchedCourse, Question, Telling, WhatIfAnswer } from './replayProtocol.ts';

interface Held {
  readonly run: string;
  readonly samples: SampleColumns;
  readonly depths: ShownDepths;
  readonly source: SourceCounts;
  readonly seen: Player;
  /** Made when it is first asked for; what is known now changes with every extension. */
  known: Player | null;
  /** What people said last, up to the end of what was fetched. */
  readonly said: LatestSaid;
  /** The end of the run as it was seen, and its record; made when it is first asked for. */
  end: { readonly position: Position; readonly record: RunRecord } | null;
}

export class ReplayDesk {
  readonly #clockMs: () => number;
  #held: Held | null = null;
  #told: Told | null = null;

  constructor(clockMs: () => number) {
    this.#clockMs = clockMs;
  }

  /** Never throws for what comes from outside. */
  answer(question: Question): Answer {
    if (question.ask === 'load') return this.#load(question.course, question.bytes);
    const held = this.#held;
    if (!held || held.samples.rows === 0) return { answer: 'refused', why: 'The run has no samples yet.' };
    switch (question.ask) {
      case 'seek':
        return this.#show(held, question, (player) => seek(player, question.ms));
      case 'step':
        return this.#show(held, question, (player) => stepBy(player, question.by));
      case 'what if':
        return this.#whatIf(held, question.scenario);
      case 'passes':
        return this.#passes(held, question.joint);
      case 'record':
        return { answer: 'record', record: endOf(held).record };
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
    const depths = before?.depths ?? noDepths();
    playThrough(seen, depths);
    const said = latestSaid(seen.at.run);
    this.#held = { run, samples, depths, source, seen, known: null, said, end: null };
    this.#told = null;
    return { answer: 'loaded', rows: samples.rows, overview: overviewOf(seen, depths) };
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

  #passes({ samples, depths, end, seen }: Held, name: string): Answer {
    const { job } = (end?.position ?? seen.at).run;
    const joint = job.joints.find((one) => one.name === name);
    if (!joint) return { answer: 'refused', why: `The plan has no joint ${name}.` };
    return { answer: 'passes', joint: name, passes: passesOf(samples, depths.depths, job, joint.index) };
  }

  #whatIf(held: Held, scenario: Scenario): Answer {
    const { course } = held.seen;
    const problem = scenarioProblems(course.plan, scenario)[0];
    if (problem) return { answer: 'refused', why: `${problem.path}: ${problem.text}` };
    const end = endOf(held);
    const fromMs = this.#clockMs();
    const { position, record } = countCourse(courseUnder(course, scenario), held.source);
    const tookMs = this.#clockMs() - fromMs;
    const counted: WhatIfAnswer = {
      scenario,
      comparison: compareRecords(end.record, record),
      before: jointsAt(end.position),
      after: jointsAt(position),
      tookMs,
    };
    return { answer: 'counted', counted };
  }
}

function endOf(held: Held): NonNullable<Held['end']> {
  if (!held.end) {
    const position = workWhole(held.seen.course);
    held.end = { position, record: recordOf(position.run, held.source) };
  }
  return held.end;
}

const jointsAt = ({ run, plan }: Position): WhatIfAnswer['before'] => ({
  plan,
  joints: run.job.joints.map(({ index }) => jointStateOf(run, index)),
});
