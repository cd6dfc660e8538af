/** What people said last, laid over an instant before they said it. */
import { expect, test } from 'vitest';
import { workWhole } from '../../../src/replay/course.ts';
import { latestSaid, withLatestSaid } from '../../../src/replay/latestSaid.ts';
import { createPlayer, seek, shownOf } from '../../../src/replay/player.ts';
import { demoCourse } from '../../support/demoCourse.ts';

test('an event and a joint show as they were then, and with what is known now as they were judged later', async () => {
  const { course } = await demoCourse();
  const { sourceMs, rows } = course.samples;
  const at = new Date(sourceMs[rows - 1]! + 1).toISOString();
  const entries = [
    { at, by: 'Day shift', action: 'acknowledge', event: 'stall', reason: 'picked up' },
    { at, by: 'Day shift', action: 'accept', joint: 'S2', reason: 'seen on the gauges' },
  ] as const;
  const { run } = workWhole({ ...course, entries });
  const stall = run.events.events.find(({ kind }) => kind === 'stall')!;
  const player = createPlayer({ ...course, entries });
  seek(player, stall.toMs! + 1_000);
  const then = shownOf(player.at);
  const names = player.at.run.job.joints.map(({ name }) => name);
  const stallIn = ({ events }: Pick<typeof then, 'events'>) => events.find(({ kind }) => kind === 'stall')!;
  const s2 = names.indexOf('S2');
  expect(stallIn(then).acknowledged).toBeUndefined();
  expect(then.joints[s2]!.decision).toBeUndefined();
  const known = withLatestSaid(then, latestSaid(run), names);
  expect(stallIn(known).acknowledged).toEqual({ by: 'Day shift', atMs: Date.parse(at), reason: 'picked up' });
  expect(known.joints[s2]!.decision).toMatchObject({ action: 'accept', by: 'Day shift', reason: 'seen on the gauges' });
  expect(known.joints.filter(({ decision }) => decision)).toHaveLength(1);
  expect(known.events.filter(({ acknowledged }) => acknowledged)).toHaveLength(1);
  // And at the instant of the entries, as seen, both are there.
  seek(player, Date.parse(at));
  expect(stallIn(shownOf(player.at)).acknowledged?.by).toBe('Day shift');
  expect(shownOf(player.at).joints[s2]!.decision?.by).toBe('Day shift');
});
