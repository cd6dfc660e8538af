/** The handover of a live run: the page of the period that is open, and the entry that closes it. */

import { Fault } from '../../src/fault.ts';
import { type HandoverInput, handoverPage, openPeriod } from '../../src/handover/handover.ts';
import type { HandoverPage } from '../../src/handover/handoverPage.ts';
import type { Entered } from '../../src/journal/journalSchema.ts';
import { offsetMs } from '../../src/plan/job.ts';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import type { LiveRun } from '../live/liveRun.ts';
import { recordAt } from './recordAt.ts';

interface Beginning {
  readonly fromMs: number;
  readonly record: Promise<RunRecord | null>;
}

/** A beginning that slides with the clock is worked out again when it has moved by so much. */
const SLIDES_MS = 60_000;

export class HandoverDesk {
  readonly #beginnings = new WeakMap<LiveRun, Beginning>();

  /** @throws Fault `bad journal` before the first sample, `nothing usable` where what lies before is not at hand */
  async page(live: LiveRun): Promise<HandoverPage> {
    return handoverPage(await this.#input(live));
  }

  /** Closes the period; its page stands in the journal as it was then. @throws Fault as `page`, and those of the journal */
  async close(live: LiveRun, by: string): Promise<Entered> {
    const { period, before } = await this.#input(live);
    return live.enter((at) => {
      // Between two samples: another may have closed it meanwhile.
      const now = standOf(live);
      const { number } = openPeriod(now.entries, 0, 0);
      if (number !== period.number)
        throw new Fault('bad journal', 'the handover: found it closed, expected one that is open');
      const toMs = Date.parse(at);
      if (toMs <= period.fromMs)
        throw new Fault('bad journal', 'the handover: found no sample since the last one, expected some');
      const { remarks } = openPeriod(now.entries, period.fromMs, toMs);
      const page = handoverPage({ ...now, before, toMs, period: { ...period, remarks } });
      return { by, action: 'handover', number, from: page.from, to: page.to, page };
    });
  }

  async #input(live: LiveRun): Promise<HandoverInput> {
    const { now, entries } = standOf(live);
    const beginMs = Date.parse(now.source.from);
    const toMs = Date.parse(now.source.to) + 1;
    const known = openPeriod(entries, beginMs, toMs);
    const slides = known.since === 'twelve hours' && this.#beginnings.get(live);
    const period =
      slides && Math.abs(known.fromMs - slides.fromMs) < SLIDES_MS ? { ...known, fromMs: slides.fromMs } : known;
    const before = period.since === 'the start of the run' ? null : await this.#recordAt(live, period.fromMs);
    return { ...standOf(live), period, toMs, before };
  }

  /** What lies before an instant changes no more: it is worked out once. */
  #recordAt(live: LiveRun, fromMs: number): Promise<RunRecord | null> {
    const known = this.#beginnings.get(live);
    if (known?.fromMs === fromMs) return known.record;
    const record = recordAt(live, fromMs);
    const beginning = { fromMs, record };
    this.#beginnings.set(live, beginning);
    record.catch(() => {
      if (this.#beginnings.get(live) === beginning) this.#beginnings.delete(live);
    });
    return record;
  }
}

function standOf(live: LiveRun): Pick<HandoverInput, 'now' | 'plan' | 'entries' | 'finish' | 'offsetMs'> {
  const now = live.record();
  if (!now) throw new Fault('bad journal', 'the handover: found no sample yet, expected a run');
  const { plan } = live;
  return {
    now,
    plan,
    entries: live.course().entries,
    finish: live.finish(),
    offsetMs: offsetMs(plan.stream?.utcOffset ?? '+00:00'),
  };
}
