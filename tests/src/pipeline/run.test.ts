/**
 * Short trips, row by row. Between two rows every reading moves on a straight line, a sample a second. The expected columns are
 * what the record says of that instant once the trip is over, so that what is dated back is seen dated back.
 */
import { describe, expect, it } from 'vitest';
import type { JournalEntry } from '../../../src/journal/journalSchema.ts';
import { advance, createRun } from '../../../src/pipeline/run.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { recordOf } from '../../../src/record/record.ts';
import type { RunRecord } from '../../../src/record/recordSchema.ts';
import { readTable } from '../table.ts';
import { instantOf, type Played, playTable, saidAt, samplesOf, scenarioPlan } from './scenario.ts';

/** Plays a trip and holds each row against the record. */
function play(table: string, journal: readonly JournalEntry[] = []): Played {
  const played = playTable(table, journal);
  const at = (seconds: number, { phase, event }: { phase?: string; event?: string }): string =>
    `${seconds} s: ${phase} | ${event}`;
  const wanted = played.rows.map((row) => at(row.given.t_s!, row.wanted));
  const said = played.rows.map((row) => at(row.given.t_s!, saidAt(played.record, row.given.t_s!)));
  expect(said).toEqual(wanted);
  return played;
}
const jointOf = ({ record }: Played, name: string) => record.joints.find((joint) => joint.name === name)!;
const kindsOf = (record: RunRecord): string[] => record.events.map((event) => event.kind);

/** S1 is to be expanded from 1014.5 to 1018.5: the end of the string from 1015.5 to 1019.5. */
const GOOD_PASS = `
  t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | phase                event
    0   900     9000   30    22.00  1014.00          790 | circulating          -
   60   900     9000   30    20.80  1015.20          790 | crossing connection  -
   90   900     9000   30    20.20  1015.80          790 | expanding screen     -
  260   900     9000   30    16.80  1019.20          790 | expanding screen     -
  300   900     9000   30    16.00  1020.00          790 | crossing connection  -`;

describe('a clean pass', () => {
  it('expands the screen, whole, and says nothing else', () => {
    const played = playTable(GOOD_PASS);
    const joint = jointOf(played, 'S1');
    expect(joint).toMatchObject({
      expanded: 4,
      unproven: 0,
      coverage: 1,
      verdict: 'expanded',
      gaps: [],
      passes: 1,
      stalls: 0,
    });
    expect(joint.feed!.mean).toBeCloseTo(1.2, 1);
    expect(joint.pressure).toEqual({ min: 9000, mean: 9000, max: 9000 });
    expect(played.record.events).toEqual([]);
    for (const s of [95, 180, 250]) expect(saidAt(played.record, s).phase).toBe('expanding screen');
  });
});

describe('stand connections', () => {
  it('pumps off, slips, a new stand, on again: one connection, no event', () => {
    const played = play(`
      t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | phase              event
        0   900     9000   30     4.00  1015.60          790 | circulating        -
       60   900     9000   30     2.80  1016.80          790 | expanding screen   -
       75     0      200    0     2.80  1016.80          790 | waiting            -     // on-delay of low pressure not over
      100     0      200    0     2.80  1016.80          790 | waiting            -
      102     0      100    0     2.80  1016.80          180 | waiting            -     // one low reading may be a spike
      103     0      100    0     2.80  1016.80          180 | making connection  -
      200     0      100    0    29.80  1016.80          180 | making connection  -
      201     0      100    0    29.80  1016.80          790 | waiting            -
      225     0      100    0    29.80  1016.80          790 | waiting            -
      240   900     9000   30    29.80  1016.80          790 | waiting            -     // pumping, for too short a time to be called so
      300   900     9000   30    28.60  1018.00          790 | expanding screen   -
      380   900     9000   30    27.00  1019.60          790 | expanding screen   -
    `);
    expect(played.run.connections).toBe(1);
    expect(played.record.events).toEqual([]);
    expect(jointOf(played, 'S1')).toMatchObject({ verdict: 'expanded', stalls: 0, passes: 1 });
    expect(jointOf(played, 'S1').coverage).toBeGreaterThan(0.97);
  });
});

describe('trouble while expanding', () => {
  it('a stall is one from the last advance on, after the time of the plan, and ends with the advance', () => {
    const played = play(`
      t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | phase             event
        0   900     9000   30    22.00  1015.60          790 | circulating       -
       60   900     9000   30    20.80  1016.80          790 | stalled           stall   // dated back to the last advance
       70   900     9000   30    20.80  1016.80          760 | stalled           stall
      120   900     9000   30    20.80  1016.80          740 | stalled           stall
      140   900     9000   30    20.40  1017.20          790 | expanding screen  -
      255   900     9000   30    18.10  1019.50          790 | expanding screen  -
    `);
    expect(jointOf(played, 'S1')).toMatchObject({ stalls: 1, verdict: 'expanded' });
    const [stall] = played.record.events;
    expect(stall).toMatchObject({ kind: 'stall', priority: 'high', joint: 'S1' });
    expect(stall!.depth).toBeCloseTo(1015.8, 1);
  });

  it('a stop of twenty-five seconds is no stall', () => {
    const played = play(`
      t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | phase             event
        0   900     9000   30    22.00  1015.60          790 | circulating       -
       60   900     9000   30    20.80  1016.80          790 | expanding screen  -
       85   900     9000   30    20.80  1016.80          790 | expanding screen  -
      200   900     9000   30    18.50  1019.10          790 | expanding screen  -
    `);
    expect(played.record.events).toEqual([]);
  });

  it('low pressure is an event after its on-delay, dated back, and a gap between the crossings', () => {
    const played = play(`
      t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | phase             event
        0   900     9000   30    22.00  1015.50          790 | circulating       -
       60   900     9000   30    20.80  1016.70          790 | expanding screen  -
       61   900     6000   30    20.78  1016.72          790 | expanding screen  low pressure
      110   900     6000   30    19.80  1017.70          790 | expanding screen  low pressure
      111   900     9000   30    19.78  1017.72          790 | expanding screen  -
      200   900     9000   30    18.00  1019.50          790 | expanding screen  -
    `);
    const joint = jointOf(played, 'S1');
    // Pressure crosses 7500 halfway through each of the two seconds of its change, 0.01 m of depth from their ends.
    expect(joint.gaps).toEqual([{ from: 1015.71, to: 1016.71, cause: 'low pressure' }]);
    expect(joint).toMatchObject({ expanded: 3, longestGap: 1, coverage: 0.75, verdict: 'short' });
    expect(played.record.events).toHaveLength(1);
    expect(played.record.events[0]).toMatchObject({
      kind: 'low pressure',
      from: instantOf(61),
      to: instantOf(111),
      joint: 'S1',
    });
  });

  it('low pressure of ten seconds is a gap and no event', () => {
    const played = play(`
      t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | phase             event
        0   900     9000   30    22.00  1015.50          790 | circulating       -
       60   900     9000   30    20.80  1016.70          790 | expanding screen  -
       61   900     6000   30    20.78  1016.72          790 | expanding screen  -
       70   900     6000   30    20.60  1016.90          790 | expanding screen  -
       71   900     9000   30    20.58  1016.92          790 | expanding screen  -
      200   900     9000   30    18.00  1019.50          790 | expanding screen  -
    `);
    expect(jointOf(played, 'S1').gaps).toEqual([{ from: 1015.71, to: 1015.91, cause: 'low pressure' }]);
  });

  it('rotation lost under feed is an event, and its metres are not expanded', () => {
    const played = play(`
      t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | phase             event
        0   900     9000   30    22.00  1015.50          790 | circulating       -
       60   900     9000   30    20.80  1016.70          790 | expanding screen  -
       61   900     9000    0    20.78  1016.72          790 | expanding screen  rotation lost
      110   900     9000    0    19.80  1017.70          790 | expanding screen  rotation lost
      111   900     9000   30    19.78  1017.72          790 | expanding screen  -
      200   900     9000   30    18.00  1019.50          790 | expanding screen  -
    `);
    expect(jointOf(played, 'S1').gaps).toEqual([{ from: 1015.71, to: 1016.71, cause: 'no rotation' }]);
  });

  it('a feed of 4 m/min against 2 is an event from its start, and its metres are not expanded', () => {
    const played = play(`
      t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | phase             event
        0   900     9000   30    22.00  1015.50          790 | circulating       -
       60   900     9000   30    20.80  1016.70          790 | expanding screen  fast feed   // dated back to where it began
       61   900     9000   30    20.73  1016.77          790 | expanding screen  fast feed
       80   900     9000   30    19.47  1018.03          790 | expanding screen  fast feed
      155   900     9000   30    18.00  1019.50          790 | expanding screen  -
    `);
    const gaps = jointOf(played, 'S1').gaps;
    expect(gaps.map((gap) => gap.cause)).toEqual(['fast feed']);
    expect(gaps[0]!.from).toBeCloseTo(1015.7, 1);
    expect(gaps[0]!.to).toBeCloseTo(1017.03, 1);
  });

  it('feed per turn over the plan is a gap of its own, while the feed itself is allowed', () => {
    // 1.2 m/min at 30 rpm is 40 mm a turn, at 20 rpm 60 mm.
    const plan = scenarioPlan();
    plan.recipes.screen!.feedPerTurn = { max: 45 };
    const { record } = playTable(
      `
      t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | phase             event
        0   900     9000   30    22.00  1015.50          790 | circulating       -
       60   900     9000   30    20.80  1016.70          790 | expanding screen  -
       61   900     9000   20    20.78  1016.72          790 | expanding screen  -
      110   900     9000   20    19.80  1017.70          790 | expanding screen  -
      111   900     9000   30    19.78  1017.72          790 | expanding screen  -
      200   900     9000   30    18.00  1019.50          790 | expanding screen  -`,
      [],
      plan,
    );
    const { gaps } = record.joints.find((joint) => joint.name === 'S1')!;
    expect(gaps.map((gap) => gap.cause)).toEqual(['high feed per turn']);
    expect(gaps[0]!.from).toBeCloseTo(1015.71, 1);
    expect(gaps[0]!.to).toBeCloseTo(1016.71, 1);
  });

  it('asking for the record while a fast feed is still open changes nothing', () => {
    const table = `
      t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | phase             event
        0   900     9000   30    22.00  1015.50          790 | circulating       -
       60   900     9000   30    20.80  1016.70          790 | expanding screen  -
       80   900     9000   30    19.47  1018.03          790 | expanding screen  -
      120   900     9000   30    18.20  1019.30          790 | expanding screen  -`;
    const counts = { frames: 0, rejected: 0, reasons: {} };
    const [asked, left] = [createRun(compileJob(scenarioPlan())), createRun(compileJob(scenarioPlan()))];
    let open = 0;
    for (const sample of samplesOf(readTable(table))) {
      advance(asked, { kind: 'sample', sample });
      advance(left, { kind: 'sample', sample });
      open = Math.max(open, asked.sweep.open.length);
      recordOf(asked, counts);
    }
    expect(open).toBeGreaterThan(1);
    expect(recordOf(asked, counts)).toEqual(recordOf(left, counts));
  });

  it('pressure over the window is an event, and expands all the same', () => {
    const played = play(`
      t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | phase             event
        0   900     9000   30    22.00  1015.50          790 | circulating       -
       60   900     9000   30    20.80  1016.70          790 | expanding screen  -
       61  1000    11500   30    20.78  1016.72          790 | expanding screen  high pressure
       90  1000    11500   30    20.20  1017.30          790 | expanding screen  high pressure
       91   900     9000   30    20.18  1017.32          790 | expanding screen  -
      200   900     9000   30    18.00  1019.50          790 | expanding screen  -
    `);
    expect(jointOf(played, 'S1')).toMatchObject({ expanded: 4, verdict: 'expanded', pressure: { max: 11500 } });
  });
});

describe('nothing where it means nothing', () => {
  it('passing blank pipe without pumps raises nothing', () => {
    // upper at 1006..1013 in B1, lower at 1010..1017: no pressure, no rotation
    const played = play(`
      t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | phase          event
        0     0        0    0    25.00  1011.00          790 | waiting        -
       30     0        0    0    23.50  1012.50          790 | passing blank  -      // upper at 1007.5, lower at 1011.5
       60     0        0    0    22.00  1014.00          790 | passing blank  -
    `);
    expect(played.record.events).toEqual([]);
    expect(jointOf(played, 'S1').verdict).toBe('not reached');
  });

  it('pumps that die down while the string stands are no low pressure', () => {
    const played = play(`
      t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | phase             event
        0   900     9000   30    22.00  1015.50          790 | circulating       -
       60   900     9000   30    20.80  1016.70          790 | expanding screen  -
       90   300     3000    0    20.80  1016.70          790 | circulating       -
      200   300     3000    0    20.80  1016.70          790 | circulating       -
    `);
    expect(played.record.events).toEqual([]);
  });
});

describe('a gap in the data', () => {
  const GAP = `
      t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | phase             event
        0   900     9000   30    22.00  1015.50          790 | circulating       -
       60   900     9000   30    20.80  1016.70          790 | no data           data gap
       61     -        -    -        -        -            - | no data           data gap
       90   900     9000   30    20.20  1017.30          790 | expanding screen  -
      200   900     9000   30    18.00  1019.50          790 | expanding screen  -
    `;

  it('is reported as a whole, and what was swept in it is unproven', () => {
    const played = play(GAP);
    expect(jointOf(played, 'S1')).toMatchObject({ expanded: 3.4, unproven: 0.6, verdict: 'unproven' });
    expect(jointOf(played, 'S1').gaps).toEqual([{ from: 1015.7, to: 1016.3, cause: 'no data' }]);
    expect(played.record.events[0]).toMatchObject({ kind: 'data gap', from: instantOf(60), to: instantOf(90) });
  });

  it('is repaired by sweeping it again', () => {
    const again = `${GAP.trimEnd()}
      210     0      200    0    18.00  1019.50          790 | crossing connection  -
      270     0      200    0    22.50  1015.00          790 | picking up           -
      300   900     9000   30    22.50  1015.00          790 | circulating          -
      420   900     9000   30    20.10  1017.40          790 | expanding screen     -
    `;
    const joint = jointOf(playTable(again), 'S1');
    expect(joint).toMatchObject({ expanded: 4, unproven: 0, verdict: 'expanded', gaps: [], passes: 2 });
  });
});

describe('passes that overlap', () => {
  const LOW_THEN = (spp: number): string => `
      t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | phase             event
        0   900     9000   30    22.00  1015.50          790 | circulating       -
       60   900     9000   30    20.80  1016.70          790 | expanding screen  -
       61   900     6000   30    20.78  1016.72          790 | expanding screen  low pressure
      110   900     6000   30    19.80  1017.70          790 | expanding screen  low pressure
      111   900     9000   30    19.78  1017.72          790 | expanding screen  -
      200   900     9000   30    18.00  1019.50          790 | expanding screen  -
      240     0      200    0    21.50  1016.00          790 | picking up        -
      270   900   ${String(spp).padStart(6)}   30    21.50  1016.00          790 | x  -
      390   900   ${String(spp).padStart(6)}   30    19.10  1018.40          790 | x  -`;

  it('a second good pass repairs, and its overlap counts once', () => {
    const joint = jointOf(playTable(LOW_THEN(9000)), 'S1');
    expect(joint).toMatchObject({ expanded: 4, coverage: 1, longestGap: 0, verdict: 'expanded', gaps: [], passes: 2 });
  });

  it('a later bad pass takes nothing away', () => {
    const before = jointOf(playTable(LOW_THEN(9000).split('\n').slice(0, 8).join('\n')), 'S1');
    const after = jointOf(playTable(LOW_THEN(6000)), 'S1');
    expect(after).toMatchObject({ expanded: before.expanded, gaps: before.gaps, verdict: 'short', passes: 2 });
  });
});

describe('the journal', () => {
  const at = (seconds: number) => ({ at: instantOf(seconds), by: 'A. Person' });

  it('set depth: from that moment the tool is where the journal says, and nothing is swept by the move', () => {
    // The string really is 0.50 m deeper than the rig thinks; told halfway.
    const played = playTable(GOOD_PASS, [{ ...at(180.5), action: 'set depth', tool: 'lower', depth: 1017.1 }]);
    // At 180 s the end reads 1017.60, the lower tool 1016.60: a correction of half a metre.
    expect(played.run.correctionM).toBeCloseTo(0.5, 9);
    const joint = jointOf(played, 'S1');
    expect(joint.gaps).toHaveLength(1);
    expect(joint.gaps[0]).toMatchObject({ cause: 'not reached' });
    expect(joint.gaps[0]!.from).toBeCloseTo(1016.6, 1);
    expect(joint.gaps[0]!.to).toBeCloseTo(1017.1, 1);
    expect(played.record.journal).toEqual([
      { at: instantOf(180.5), by: 'A. Person', action: 'set depth', text: 'lower at 1017.1: depth moved by 0.50 m' },
    ]);
  });

  it('set depth before the first sample holds from the first depth on', () => {
    const played = playTable(GOOD_PASS, [{ ...at(-10), action: 'set depth', tool: 'lower', depth: 1013.5 }]);
    expect(played.run.correctionM).toBeCloseTo(0.5, 9);
  });

  it('change plan: new bounds from that moment, what has been expanded stays', () => {
    const plan = scenarioPlan();
    plan.recipes.screen!.pressure!.min = 9500;
    const played = playTable(GOOD_PASS, [{ ...at(180.5), action: 'change plan', plan }]);
    const joint = jointOf(played, 'S1');
    expect(joint.gaps).toHaveLength(1);
    expect(joint.gaps[0]).toMatchObject({ cause: 'low pressure', to: 1018.5 });
    expect(joint.gaps[0]!.from).toBeCloseTo(1016.6, 1);
    expect(kindsOf(played.record)).toEqual(['low pressure']);
  });

  it('a plan that makes no sense is refused in words, and changes nothing', () => {
    const plan = scenarioPlan();
    plan.recipes.screen!.tools = ['middle'];
    const played = playTable(GOOD_PASS, [{ ...at(180.5), action: 'change plan', plan }]);
    expect(played.record.journal![0]!.text).toMatch(/^refused: recipes\.screen\.tools\[0\]: found "middle"/);
    expect(jointOf(played, 'S1').verdict).toBe('expanded');
  });

  it('accept and reject stand beside the verdict and do not change it; unknown joints are said to be so', () => {
    const played = playTable(GOOD_PASS, [
      { ...at(310), action: 'accept', joint: 'S2', reason: 'packer above' },
      { ...at(311), action: 'reject', joint: 'S1', reason: 'caliper' },
      { ...at(312), action: 'reject', joint: 'S9', reason: '' },
    ]);
    expect(jointOf(played, 'S2')).toMatchObject({
      verdict: 'not reached',
      decision: { action: 'accept', reason: 'packer above', by: 'A. Person' },
    });
    expect(jointOf(played, 'S1')).toMatchObject({
      verdict: 'expanded',
      decision: { action: 'reject', reason: 'caliper' },
    });
    expect(played.record.journal![2]!.text).toBe('no joint "S9"');
  });

  it('acknowledge marks the newest event of its kind that is not acknowledged yet', () => {
    const trip = `
      t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | phase             event
        0   900     9000   30    22.00  1015.50          790 | circulating       -
       61   900     6000   30    20.78  1016.72          790 | expanding screen  low pressure
      110   900     6000   30    19.80  1017.70          790 | expanding screen  low pressure
      111   900     9000   30    19.78  1017.72          790 | expanding screen  -`;
    const played = playTable(trip, [
      { ...at(100), action: 'acknowledge', event: 'low pressure' },
      { ...at(105), action: 'acknowledge', event: { kind: 'low pressure', joint: 'S2' } },
      { ...at(106), action: 'acknowledge', event: 'low pressure' },
    ]);
    expect(played.record.events[0]).toMatchObject({
      kind: 'low pressure',
      acknowledged: { by: 'A. Person', at: instantOf(100) },
    });
    expect(played.record.journal!.map((entry) => entry.text)).toEqual([
      'low pressure on S1',
      'no such event: low pressure',
      'low pressure: acknowledged before, by A. Person',
    ]);
  });

  it('a note is kept, word for word', () => {
    const played = playTable(GOOD_PASS, [{ ...at(50), action: 'note', text: 'wind 20 kn' }]);
    expect(played.record.journal![0]!.text).toBe('wind 20 kn');
  });
});
