/**
 * A frame written to the rig's TCP socket until its number stands in a real page: ten frames a second of a rig that runs
 * ten times as fast, through the service as its own process, the page's own WebSocket and drawing.
 */
import type { Page } from 'playwright-core';
import type { BenchLine } from './benchLine.ts';
import { quantile } from './interleave.ts';
import { openPage } from './openPage.ts';
import { paced, RigFeed, sleep } from './rigFeed.ts';
import { startServe } from './serveProcess.ts';
import { shorterPlanFile, TRIP_JOINTS, trip72h, tripFrames } from './trip72h.ts';

const FRAMES = 620;
/** Joints of a long reservoir section, some 700 m; and of the longest liner that is benchmarked, 4.2 km, seen for less long. */
const JOINTS = 60;
const FRAMES_OF_LONGEST = 120;
/** Not counted: the page's code is still being compiled. */
const WARM_UP = 20;
const PER_SECOND = 10;
const GOAL_P50_MS = 15;
const GOAL_P99_MS = 40;
/** Each frame carries its own pressure, inside the screen's window, by which the page's number is known again. */
const FIRST_PRESSURE = 8000;
/** Into the first joints of the trip, where ground is being expanded and every panel has work. */
const SKIPPED_FRAMES = 600;

interface Seen {
  readonly pressure: number;
  /** When the text had changed in the document, and when the frame with it had been drawn, ms by the system's clock. */
  readonly changedMs: number;
  readonly drawnMs: number;
}

const withPressure = (frame: string, pressure: number): string => frame.replace(/^0121.*$/m, `0121${pressure}\r`);
const nowMs = (): number => performance.timeOrigin + performance.now();

/** In the page. Written as text, since its types are those of the browser. */
const WATCH = `(() => {
  window.seen = [];
  const number = document.querySelector('[data-testid="pressure"]');
  const now = () => performance.timeOrigin + performance.now();
  new MutationObserver(() => {
    const entry = { pressure: Number(number.textContent.replace(/\\D/g, '')), changedMs: now(), drawnMs: NaN };
    window.seen.push(entry);
    requestAnimationFrame(() => {
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = () => { entry.drawnMs = now(); };
      port2.postMessage(0);
    });
  }).observe(number, { characterData: true, childList: true, subtree: true });
})()`;

/** How far the page's clock is ahead of ours, ms: from the quickest of many questions, good to half its way. */
async function clockAhead(page: Page): Promise<{ ahead: number; within: number }> {
  let best = { ahead: 0, within: Number.POSITIVE_INFINITY };
  for (let i = 0; i < 100; i++) {
    const from = nowMs();
    const theirs = (await page.evaluate('performance.timeOrigin + performance.now()')) as number;
    const to = nowMs();
    if ((to - from) / 2 < best.within) best = { ahead: theirs - (from + to) / 2, within: (to - from) / 2 };
  }
  return best;
}

interface Measured {
  readonly sent: Float64Array;
  readonly seen: readonly Seen[];
  readonly ahead: number;
  readonly within: number;
}

async function measure(joints: number, count: number): Promise<Measured> {
  const trip = trip72h();
  const planFile = shorterPlanFile(trip, joints);
  const frames = tripFrames(trip.streamFile, SKIPPED_FRAMES, count);
  const feed = await RigFeed.open();
  const service = await startServe([
    ...['--plan', planFile, '--connect', `127.0.0.1:${feed.port}`, '--rate', String(PER_SECOND)],
  ]);
  try {
    await feed.connected();
    const { page, close } = await openPage(service.url);
    try {
      await page.evaluate(WATCH);
      const { ahead, within } = await clockAhead(page);
      const sent = new Float64Array(count);
      await paced(count, PER_SECOND, (i) => {
        const text = withPressure(frames[i]!, FIRST_PRESSURE + i);
        sent[i] = nowMs();
        void feed.send(text);
      });
      await sleep(500);
      return { sent, seen: (await page.evaluate('window.seen')) as Seen[], ahead, within };
    } finally {
      await close();
    }
  } finally {
    await service.stop();
    await feed.close();
  }
}

/** For each frame, how long until the page showed its number or a later one, ms. */
function delaysOf(sent: Float64Array, shown: readonly { readonly frame: number; readonly atMs: number }[]): number[] {
  const delays: number[] = [];
  let next = 0;
  for (let frame = WARM_UP; frame < sent.length; frame++) {
    while (next < shown.length && shown[next]!.frame < frame) next++;
    if (next === shown.length) throw new Error(`the page never showed frame ${frame} of ${sent.length}`);
    delays.push(shown[next]!.atMs - sent[frame]!);
  }
  return delays;
}

interface Delays {
  readonly changed: readonly number[];
  readonly drawn: readonly number[];
  readonly note: string;
}

async function delays(joints: number, count: number): Promise<Delays> {
  const { sent, seen, ahead, within } = await measure(joints, count);
  const frames = seen.filter(({ pressure }) => pressure >= FIRST_PRESSURE && pressure < FIRST_PRESSURE + count);
  const at = (ms: (entry: Seen) => number) =>
    frames.map((entry) => ({ frame: entry.pressure - FIRST_PRESSURE, atMs: ms(entry) - ahead }));
  const own = frames.filter(({ pressure }) => pressure >= FIRST_PRESSURE + WARM_UP).length;
  const due = count - WARM_UP;
  return {
    changed: delaysOf(
      sent,
      at(({ changedMs }) => changedMs),
    ),
    drawn: delaysOf(
      sent,
      at(({ drawnMs }) => drawnMs),
    ),
    note:
      `${due} frames, ${PER_SECOND} a second, ${due - own} of them overtaken by the next before they were shown; ` +
      `the two clocks agree within ${within.toFixed(2)} ms`,
  };
}

function line(what: string, of: readonly number[], q: 0.5 | 0.99, goal: number | null, note?: string): BenchLine {
  const name = q === 0.5 ? 'p50' : 'p99';
  const shown = { what: `frame in to ${what}, ${name}`, ours: '', beside: '', found: quantile(of, q) };
  return { ...shown, unit: 'ms', goal, ...(note !== undefined && { note }) };
}

export async function run(): Promise<BenchLine[]> {
  const usual = await delays(JOINTS, FRAMES);
  const longest = await delays(TRIP_JOINTS, FRAMES_OF_LONGEST);
  return [
    line(`number changed, ${JOINTS} joints`, usual.changed, 0.5, GOAL_P50_MS),
    line(`number changed, ${JOINTS} joints`, usual.changed, 0.99, GOAL_P99_MS, usual.note),
    line(`number drawn, ${JOINTS} joints`, usual.drawn, 0.5, GOAL_P50_MS),
    line(`number drawn, ${JOINTS} joints`, usual.drawn, 0.99, GOAL_P99_MS, 'the next frame has been drawn'),
    line(`number changed, ${TRIP_JOINTS} joints`, longest.changed, 0.5, null),
    line(`number changed, ${TRIP_JOINTS} joints`, longest.changed, 0.99, null, longest.note),
  ];
}
