/** Time and handover over a real port, in a run that goes on. */
import { expect, test } from 'vitest';
import { z } from 'zod/mini';
import { recordAt } from '../../server/handover/recordAt.ts';
import { type HandoverPage, handoverPageSchema } from '../../src/handover/handoverPage.ts';
import type { SignatureState } from '../../src/signing/signatures.ts';
import { type TimeSheet, timeSheetSchema } from '../../src/time/timeSheetSchema.ts';
import { type LiveDemo, liveDemo } from '../support/liveDemo.ts';

interface Handover {
  number: number | null;
  page: HandoverPage;
  closed: { number: number; from: string; to: string; by: string }[];
}

async function handoverOf(demo: LiveDemo, number?: number): Promise<Handover> {
  const answer = await demo.get(`/api/handover${number === undefined ? '' : `?number=${number}`}`);
  expect(answer.status).toBe(200);
  const handover = (await answer.json()) as Handover;
  expect(z.safeParse(handoverPageSchema, handover.page).error).toBeUndefined();
  return handover;
}
const errorOf = async (answer: Response): Promise<string> => ((await answer.json()) as { error: string }).error;

test('a handover is closed, signed by both sides, and broken by remarks that change behind it', async () => {
  const demo = await liveDemo();
  const anna = { name: 'Anna Berg', secret: 'seven green bottles' };
  const ben = { name: 'Ben Clay', secret: 'eight blue bottles' };
  await demo.post('/api/people', { ...anna, role: 'company man' });
  await demo.post('/api/people', { ...ben, role: 'company man', by: anna });
  await demo.upTo(2000);
  const said = { by: anna.name, action: 'handover remarks' };
  expect((await demo.post('/api/journal', { ...said, text: 'pump 2 is slow' })).status).toBe(201);
  const open = await handoverOf(demo);
  expect(open).toMatchObject({
    number: null,
    closed: [],
    page: { since: 'the start of the run', remarks: 'pump 2 is slow' },
  });
  expect(open.page.done.length).toBeGreaterThan(0);

  const made = await demo.post('/api/handover', { by: anna.name });
  expect(made.status).toBe(201);
  expect(await made.json()).toMatchObject({ number: 1, by: anna.name });
  await demo.upTo(3000);
  const next = await handoverOf(demo);
  expect(next.page).toMatchObject({ since: 'the last handover', remarks: '' });
  expect(next.closed).toMatchObject([{ number: 1, by: anna.name, to: next.page.from }]);
  const first = await handoverOf(demo, 1);
  expect(first.page.done).toEqual(open.page.done);
  // The two periods are the whole run.
  const all = demo.at.live.record()!.joints.reduce((sum, { expanded }) => sum + expanded, 0);
  expect(first.page.done.length + next.page.done.length).toBeCloseTo(all, 1);

  const { hash } = (await (await demo.get('/api/signed-text?subject=handover&of=1')).json()) as { hash: string };
  const asked = { subject: 'handover', of: '1', hash };
  const bare = await demo.post('/api/sign', { ...anna, ...asked });
  expect([bare.status, await errorOf(bare)]).toEqual([400, expect.stringContaining('leaving or coming')]);
  expect((await demo.post('/api/sign', { ...anna, ...asked, as: 'leaving' })).status).toBe(201);
  expect((await demo.post('/api/sign', { ...anna, ...asked, as: 'coming' })).status).toBe(409);
  expect((await demo.post('/api/sign', { ...ben, ...asked, as: 'coming' })).status).toBe(201);
  const signed = async () =>
    (await (await demo.get('/api/signatures')).json()) as { signatures: SignatureState[]; standings: object[] };
  expect((await signed()).standings).toEqual([{ subject: 'handover', of: '1', signed: 2, needed: 2, broken: 0 }]);

  expect((await demo.post('/api/journal', { ...said, text: 'it was pump 1', handover: 1 })).status).toBe(201);
  expect((await signed()).signatures.map(({ holds }) => holds)).toMatchObject([
    { kind: 'broken', cause: { action: 'handover remarks', by: anna.name }, parts: ['remarks'] },
    { kind: 'broken' },
  ]);
  expect((await handoverOf(demo, 1)).page.remarks).toBe('it was pump 1');
  const none = await demo.post('/api/journal', { ...said, text: 'x', handover: 7 });
  expect([none.status, await errorOf(none)]).toEqual([400, 'handover: found 7, expected 1 to 1']);
  expect((await demo.get('/api/handover?number=2')).status).toBe(404);
});

test('what a run had come to is counted again as it was then', async () => {
  const demo = await liveDemo();
  await demo.upTo(1500);
  await demo.post('/api/journal', { by: 'A', action: 'note', text: 'seen' });
  const then = demo.at.live.record()!;
  await demo.upTo(2600);
  await demo.post('/api/journal', { by: 'A', action: 'note', text: 'seen later' });
  const again = await recordAt(demo.at.live, Date.parse(then.source.to) + 1);
  expect(JSON.stringify(again.joints)).toBe(JSON.stringify(then.joints));
  expect(JSON.stringify(again.events)).toBe(JSON.stringify(then.events));
  expect(again.journal).toEqual(then.journal);
});

test('two who close at once: one does', async () => {
  const demo = await liveDemo();
  await demo.upTo(500);
  const both = await Promise.all([
    demo.post('/api/handover', { by: 'Anna' }),
    demo.post('/api/handover', { by: 'Ben' }),
  ]);
  expect(both.map(({ status }) => status).sort()).toEqual([201, 409]);
});

test('before the first sample there is nothing to hand over and no time', async () => {
  const demo = await liveDemo();
  expect((await demo.get('/api/handover')).status).toBe(409);
  expect((await demo.post('/api/handover', { by: 'Anna' })).status).toBe(409);
  expect((await demo.get('/api/time')).status).toBe(404);
});

test('lost time gets a cause, and no cause that the plan does not know', async () => {
  const demo = await liveDemo();
  await demo.upTo(3000);
  const sheetOf = async (): Promise<TimeSheet> => {
    const sheet = await (await demo.get('/api/time')).json();
    return z.parse(timeSheetSchema, sheet);
  };
  const [stall] = (await sheetOf()).uncoded.filter(({ activity }) => activity === 'stalled');
  const code = { by: 'A', action: 'time code', from: stall!.from, to: stall!.to, code: 'TOOL', reason: 'torque' };
  expect((await demo.post('/api/journal', code)).status).toBe(201);
  const sheet = await sheetOf();
  expect(sheet.lost).toMatchObject([{ code: 'TOOL', ms: stall!.ms }]);
  expect(sheet.uncoded.map(({ from }) => from)).not.toContain(stall!.from);
  const record = demo.at.live.record()!;
  expect(record.journal).toBeUndefined();
  const wrong = [
    await demo.post('/api/journal', { ...code, code: 'NONE' }),
    await demo.post('/api/journal', { ...code, to: code.from }),
    await demo.post('/api/journal', { ...code, reason: ' ' }),
  ];
  expect(wrong.map(({ status }) => status)).toEqual([400, 400, 400]);
  expect(await errorOf(wrong[0]!)).toMatch(/^code: found "NONE", expected one of RIG, TOOL/);
});
