/** What people signed and where the time went, in the report of a run that goes on. */
import { expect, test } from 'vitest';
import { liveDemo } from '../support/liveDemo.ts';
import { readPdf } from '../support/pdfText.ts';

test('the report names who signed, says when a signature is broken, and gives lost time its cause', async () => {
  const demo = await liveDemo();
  await demo.upTo(3000);
  const anna = { name: 'Anna Berg', secret: 'seven green bottles' };
  await demo.post('/api/people', { ...anna, role: 'company man' });
  const { hash } = (await (await demo.get('/api/signed-text?subject=limits')).json()) as { hash: string };
  expect((await demo.post('/api/sign', { ...anna, subject: 'limits', hash })).status).toBe(201);
  const { uncoded } = (await (await demo.get('/api/time')).json()) as { uncoded: { from: string; to: string }[] };
  const { from, to } = uncoded[0]!;
  await demo.post('/api/journal', { by: 'A', action: 'time code', from, to, code: 'TOOL', reason: 'rollers stuck' });
  const textOf = async (): Promise<string> => {
    const answer = await demo.get('/api/report.pdf');
    expect(answer.status).toBe(200);
    const { pages } = readPdf(new Uint8Array(await answer.arrayBuffer()));
    return pages.flatMap(({ texts }) => texts).join('\n');
  };
  const before = await textOf();
  expect(before).toContain('Anna Berg');
  expect(before).toContain('TOOL');
  expect(before).not.toContain('BROKEN');
  const plan = structuredClone(demo.at.live.plan);
  plan.recipes.screen!.pressure!.max! += 500;
  await demo.post('/api/journal', { by: 'B', action: 'change plan', plan, reason: 'a stronger screen' });
  expect(await textOf()).toContain('BROKEN');
});

test('a plan that changed in the midst: the report has its versions line by line, and verdicts before and after', async () => {
  const demo = await liveDemo();
  await demo.upTo(2400);
  const lines = async (): Promise<string> => {
    const { pages } = readPdf(new Uint8Array(await (await demo.get('/api/report.pdf')).arrayBuffer()));
    return pages.flatMap(({ texts }) => texts).join('\n');
  };
  expect(await lines()).not.toContain('Differences');
  const plan = structuredClone(demo.at.live.plan);
  plan.recipes.screen!.rpm!.min = 60;
  await demo.post('/api/journal', { by: 'B', action: 'change plan', plan, reason: 'faster rollers' });
  await demo.upTo(4800);
  const { joints } = demo.at.live.record()!;
  const asRun = joints.find(({ name }) => name === 'S4')!;
  expect(asRun.verdict).toBe('short');
  const text = await lines();
  expect(text).toContain('recipes.screen.rpm.min');
  expect(text).toContain('beside the run under version 1 of its plan');
  const differences = text.slice(text.lastIndexOf('Joints that are different'));
  expect(differences).toMatch(/\nS4\nexpanded\nshort\n/);
  // What comes later is in the next one, on both sides.
  await demo.upTo(5400);
  const later = await lines();
  expect(later.slice(later.lastIndexOf('Joints that are different'))).toMatch(/\nS6\nexpanded\nshort\n/);
});
