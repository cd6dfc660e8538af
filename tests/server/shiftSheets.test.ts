/** The printed handover and the time sheet of a day over a real port, in a run that goes on. */
import { expect, test } from 'vitest';
import { type LiveDemo, liveDemo } from '../support/liveDemo.ts';
import { readPdf } from '../support/pdfText.ts';

const plain = (text: string): string => text.replace(/[\u00a0\u202f\s]+/g, ' ');

async function pdfOf(demo: LiveDemo, path: string): Promise<{ pages: number; said: string; name: string }> {
  const answer = await demo.get(`/api/sheets/${path}`);
  expect(answer.status).toBe(200);
  expect(answer.headers.get('content-type')).toBe('application/pdf');
  const { pages } = readPdf(new Uint8Array(await answer.arrayBuffer()));
  const said = plain(pages.flatMap(({ texts }) => texts).join('\n'));
  return { pages: pages.length, said, name: answer.headers.get('content-disposition')! };
}

async function svgOf(demo: LiveDemo, path: string): Promise<string> {
  const answer = await demo.get(`/api/sheets/${path}`);
  expect(answer.status).toBe(200);
  expect(answer.headers.get('content-type')).toContain('image/svg+xml');
  return plain((await answer.text()).replace(/<[^>]*>/g, ' '));
}

test('the handover is one page that says what was done, what stood, what comes; signed by both, broken later', async () => {
  const demo = await liveDemo();
  const anna = { name: 'Anna Berg', secret: 'seven green bottles' };
  const ben = { name: 'Ben Clay', secret: 'eight blue bottles' };
  await demo.post('/api/people', { ...anna, role: 'company man' });
  await demo.post('/api/people', { ...ben, role: 'company man', by: anna });
  await demo.upTo(3000);
  await demo.post('/api/journal', { by: anna.name, action: 'handover remarks', text: 'pump 2 is slow' });
  const open = await pdfOf(demo, 'handover.pdf?units=field');
  expect(open.pages).toBe(1);
  expect(open.said).toContain('Handover, not closed');
  const { page } = (await (await demo.get('/api/handover')).json()) as {
    page: { done: { length: number }; stops: { activity: string }[]; next: { joint: { name: string } } };
  };
  expect(open.said).toContain(`${(page.done.length / 0.3048).toFixed(1)} ft`);
  expect(await svgOf(demo, 'handover.svg')).toContain(`${page.done.length.toFixed(2)} m`);
  for (const { activity } of page.stops) expect(open.said).toContain(activity);
  expect(open.said).toContain(page.next.joint.name);
  expect(open.said).toContain('pump 2 is slow');
  expect(open.said.match(/Name, role, rig time, signature/g)).toHaveLength(2);

  await demo.post('/api/handover', { by: anna.name });
  const { hash } = (await (await demo.get('/api/signed-text?subject=handover&of=1')).json()) as { hash: string };
  const sign = { subject: 'handover', of: '1', hash };
  expect((await demo.post('/api/sign', { ...anna, ...sign, as: 'leaving' })).status).toBe(201);
  expect((await demo.post('/api/sign', { ...ben, ...sign, as: 'coming' })).status).toBe(201);
  const closed = await pdfOf(demo, 'handover.pdf?number=1');
  expect(closed.pages).toBe(1);
  expect(closed.name).toContain('-handover-1.pdf');
  expect(closed.said).toContain('Anna Berg, company man, leaving');
  expect(closed.said).toContain('Ben Clay, company man, coming');
  expect(closed.said.match(/signed, holds/g)).toHaveLength(2);
  // Of the period after it nothing is broken, of its own it is.
  const { to } = (await (await demo.get('/api/handover?number=1')).json()).page as { to: string };
  const after = new Date(Date.parse(to) + 60_000).toISOString();
  const code = { by: 'B', action: 'time code', code: 'TOOL', reason: 'rollers stuck' };
  await demo.upTo(3200);
  expect((await demo.post('/api/journal', { ...code, from: to, to: after })).status).toBe(201);
  expect((await pdfOf(demo, 'handover.pdf?number=1')).said).not.toContain('BROKEN');
  const before = new Date(Date.parse(to) - 60_000).toISOString();
  expect((await demo.post('/api/journal', { ...code, from: before, to: after })).status).toBe(201);
  const said = (await pdfOf(demo, 'handover.pdf?number=1')).said;
  expect(said).toMatch(/Said later, of \S+ to \S+: TOOL: rollers stuck \(B\)/);
  expect(said.match(/BROKEN since/g)).toHaveLength(2);
  await demo.post('/api/journal', { by: 'B', action: 'handover remarks', text: 'it was pump 1', handover: 1 });
  const later = await pdfOf(demo, 'handover.pdf?number=1');
  expect(later.said).toContain('it was pump 1');
  expect(later.said.match(/BROKEN since/g)).toHaveLength(2);
  expect((await demo.get('/api/sheets/handover.svg?number=2')).status).toBe(404);
  expect((await demo.get('/api/sheets/handover.svg?number=x')).status).toBe(400);
});

test('the time sheet of a day sums to the day, and shows a cause as soon as it is entered', async () => {
  const demo = await liveDemo();
  expect((await demo.get('/api/sheets/day.svg')).status).toBe(404);
  await demo.upTo(3000);
  const before = await svgOf(demo, 'day.svg');
  expect(before).toContain('No time was lost');
  const { uncoded, days } = (await (await demo.get('/api/time')).json()) as {
    uncoded: { from: string; to: string }[];
    days: { date: string }[];
  };
  const { from, to } = uncoded[0]!;
  const code = { by: 'A', action: 'time code', from, to, code: 'TOOL', reason: 'rollers stuck' };
  expect((await demo.post('/api/journal', code)).status).toBe(201);
  const { said } = await pdfOf(demo, `day.pdf?date=${days[0]!.date}`);
  expect(said).toContain('rollers stuck');
  expect(said).toContain(`Time sheet of ${days[0]!.date}`);
  expect(said).toMatch(/Sum 24:00:00/);
  expect((await demo.get('/api/sheets/day.svg?date=2001-01-01')).status).toBe(404);
  expect((await demo.get('/api/sheets/day.svg?date=yesterday')).status).toBe(400);
});
