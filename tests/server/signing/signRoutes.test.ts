/** People and signatures over a real port, into a run that goes on. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test, vi } from 'vitest';
import { JournalFile } from '../../../server/journalFile.ts';
import type { SignatureState } from '../../../src/signing/signatures.ts';
import { type LiveDemo, liveDemo } from '../../support/liveDemo.ts';

const ANNA = { name: 'Anna Berg', role: 'company man', secret: 'seven green bottles' };
const BEN = { name: 'Ben Clay', role: 'toolpusher', secret: 'eight blue bottles' };
const by = { name: ANNA.name, secret: ANNA.secret };

interface Text {
  hash: string;
  version: number;
  text: string;
}
interface Signatures {
  signatures: SignatureState[];
  standings: { subject: string; signed: number; needed: number; broken: number }[];
}

const errorOf = async (answer: Response): Promise<string> => ((await answer.json()) as { error: string }).error;
const textOf = async (demo: LiveDemo, subject: string, of?: string): Promise<Text> => {
  const query = new URLSearchParams({ subject, ...(of === undefined ? {} : { of }) });
  return (await demo.get(`/api/signed-text?${query}`)).json() as Promise<Text>;
};
const signaturesOf = async (demo: LiveDemo): Promise<Signatures> =>
  (await demo.get('/api/signatures')).json() as Promise<Signatures>;
const sign = async (demo: LiveDemo, who: typeof ANNA, subject: string, more: object = {}): Promise<Response> => {
  const { of } = more as { of?: string };
  const { hash } = await textOf(demo, subject, of);
  return demo.post('/api/sign', { name: who.name, secret: who.secret, subject, hash, ...more });
};

test('the first person comes from this machine, every other through one who is there', async () => {
  const demo = await liveDemo();
  expect(await (await demo.get('/api/people')).json()).toMatchObject({ people: [], kept: false });
  expect((await demo.post('/api/people', ANNA)).status).toBe(201);
  const alone = await demo.post('/api/people', BEN);
  expect([alone.status, await errorOf(alone)]).toEqual([403, expect.stringContaining('one who is there already')]);
  const wrong = await demo.post('/api/people', { ...BEN, by: { ...by, secret: 'no such bottles' } });
  expect(wrong.status).toBe(401);
  const added = await demo.post('/api/people', { ...BEN, by });
  expect([added.status, await added.json()]).toEqual([201, { name: BEN.name, role: BEN.role }]);
  expect((await demo.post('/api/people', { ...BEN, by })).status).toBe(409);
  const { people } = (await (await demo.get('/api/people')).json()) as { people: object[] };
  expect(people).toEqual([
    { name: ANNA.name, role: ANNA.role },
    { name: BEN.name, role: BEN.role },
  ]);
});

test.each([
  ['a short secret', { ...ANNA, secret: 'hush567' }],
  ['a secret that is a number', { ...ANNA, secret: 12_345_678 }],
  ['a very long secret', { ...ANNA, secret: 'hush'.repeat(200) }],
  ['a role that is none', { ...ANNA, role: 'king' }],
  ['a name of two lines', { ...ANNA, name: 'Anna\nBerg' }],
  ['no name', { ...ANNA, name: ' ' }],
])('%s is refused, and the secret is not said', async (_what, body) => {
  const demo = await liveDemo();
  const answer = await demo.post('/api/people', body);
  const text = await answer.text();
  expect(answer.status).toBe(400);
  expect(text).toContain('found');
  expect(text).not.toMatch(/hush|12345678|bottles/);
});

test('a signature bears who, what, when by both clocks, and holds until what was signed changes', async () => {
  const demo = await liveDemo({}, (plan) => ({ ...plan, stream: { ...plan.stream!, utcOffset: '+02:00' } }));
  await demo.upTo(2000);
  await demo.post('/api/people', ANNA);
  const before = await textOf(demo, 'limits');
  expect(before.version).toBe(1);
  const answer = await sign(demo, ANNA, 'limits');
  expect(answer.status).toBe(201);
  const signed = (await answer.json()) as SignatureState;
  expect(signed).toMatchObject({ subject: 'limits', by: ANNA.name, role: ANNA.role, version: 1, hash: before.hash });
  const newestMs = demo.at.live.snapshot(0).now!.sourceMs;
  expect(Date.parse(signed.atUtc)).toBe(newestMs + 1);
  expect(signed.rigTime).toMatch(/\+02:00$/);
  expect(Date.parse(signed.rigTime)).toBe(newestMs + 1);
  expect(Math.abs(Date.parse(signed.signedAt) - Date.now())).toBeLessThan(60_000);
  await demo.upTo(2500);
  expect((await signaturesOf(demo)).signatures[0]!.holds).toEqual({ kind: 'holds' });

  const plan = structuredClone(demo.at.live.plan);
  plan.recipes.screen!.pressure!.max! += 500;
  const change = { by: 'C. Dee', action: 'change plan', plan, reason: 'a stronger screen' };
  expect((await demo.post('/api/journal', change)).status).toBe(201);
  const { signatures, standings } = await signaturesOf(demo);
  expect(signatures[0]!.holds).toMatchObject({
    kind: 'broken',
    cause: { kind: 'entry', action: 'change plan', by: 'C. Dee' },
    parts: ['recipes'],
  });
  expect(standings).toEqual([{ subject: 'limits', of: null, signed: 0, needed: 1, broken: 1 }]);
  expect((await textOf(demo, 'limits')).version).toBe(2);
  expect(await (await sign(demo, ANNA, 'limits')).json()).toMatchObject({ version: 2, holds: { kind: 'holds' } });
});

test('what changed since it was seen is not signed; a joint at rest is, while the trip goes on', async () => {
  const demo = await liveDemo();
  await demo.upTo(3000);
  await demo.post('/api/people', ANNA);
  const record = demo.at.live.record()!;
  const done = record.joints.find(({ verdict }) => verdict === 'expanded')!.name;
  const busy = record.joints.find(({ verdict }) => verdict === 'in progress')!.name;
  const seen = { done: await textOf(demo, 'joint', done), busy: await textOf(demo, 'joint', busy) };
  await demo.upTo(3200);
  const asked = { name: ANNA.name, secret: ANNA.secret, subject: 'joint' };
  const changed = await demo.post('/api/sign', { ...asked, of: busy, hash: seen.busy.hash });
  expect([changed.status, await errorOf(changed)]).toEqual([409, expect.stringContaining('read anew')]);
  const signed = await demo.post('/api/sign', { ...asked, of: done, hash: seen.done.hash });
  expect([signed.status, await signed.json()]).toEqual([201, expect.objectContaining({ of: done })]);
  expect((await demo.post('/api/journal', { by: 'B', action: 'reject', joint: done, reason: 'torn' })).status).toBe(
    201,
  );
  expect((await signaturesOf(demo)).signatures[0]!.holds).toMatchObject({
    kind: 'broken',
    cause: { kind: 'entry', action: 'reject', by: 'B' },
    parts: [`joint ${done}`],
  });
});

test('who may not, knows no secret, or has signed already is refused; secrets stand nowhere', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'jointwise-sign-'));
  const file = join(folder, 'journal.jsonl');
  const journal = new JournalFile(file);
  const lines: string[] = [];
  const stderr = vi.spyOn(process.stderr, 'write').mockImplementation((text) => {
    lines.push(String(text));
    return true;
  });
  onTestFinished(async () => {
    stderr.mockRestore();
    await journal.close();
    rmSync(folder, { recursive: true });
  });
  const peopleFile = join(folder, 'people.json');
  const demo = await liveDemo({ peopleFile, keepEntry: (entry) => journal.append(entry) });
  await demo.upTo(1000);
  await demo.post('/api/people', ANNA);
  await demo.post('/api/people', { ...BEN, by });
  const answers = [
    await sign(demo, BEN, 'limits'),
    await sign(demo, { ...ANNA, secret: 'not this one' }, 'limits'),
    await sign(demo, ANNA, 'limits'),
    await sign(demo, ANNA, 'limits'),
    await sign(demo, ANNA, 'joint', { of: 'S999' }),
    await sign(demo, ANNA, 'limits', { as: 'leaving' }),
    await sign(demo, ANNA, 'depth correction'),
    await sign(demo, BEN, 'depth correction'),
    await demo.post('/api/sign', { name: ANNA.name, secret: ANNA.secret, subject: 'limits', hash: 'x' }),
    await demo.post('/api/sign', `{"name":"${ANNA.name}","secret":"${ANNA.secret}"`),
    await demo.post('/api/journal', { ...by, action: 'sign', subject: 'limits' }),
  ];
  expect(answers.map(({ status }) => status)).toEqual([403, 401, 201, 409, 400, 400, 201, 201, 400, 400, 400]);
  const depth = (await signaturesOf(demo)).standings.find(({ subject }) => subject === 'depth correction');
  expect(depth).toMatchObject({ signed: 2, needed: 2 });
  for (let i = 0; i < 3; i += 1) await sign(demo, { ...BEN, secret: 'not this one' }, 'release');
  const waits = await sign(demo, BEN, 'release');
  expect(waits.status).toBe(429);
  expect(Number(waits.headers.get('retry-after'))).toBeGreaterThan(0);
  const said = [
    readFileSync(file, 'utf8'),
    readFileSync(peopleFile, 'utf8'),
    lines.join(''),
    JSON.stringify(demo.at.live.course().entries),
    JSON.stringify(await signaturesOf(demo)),
    ...(await Promise.all(answers.map((answer) => answer.text()))),
  ];
  for (const text of said) expect(text).not.toMatch(/bottles|not this one/);
});

test('GET and POST of one path are both understood, and nothing else', async () => {
  const demo = await liveDemo();
  const answer = await fetch(`${demo.at.url}api/people`, { method: 'DELETE' });
  expect([answer.status, answer.headers.get('allow')]).toEqual([405, 'GET, HEAD, POST']);
  const foreign = await fetch(`${demo.at.url}api/people`, {
    method: 'POST',
    headers: { 'content-type': 'application/json', origin: 'https://elsewhere.example' },
    body: JSON.stringify(ANNA),
  });
  expect(foreign.status).toBe(403);
});

test('before the first sample there is nothing to sign', async () => {
  const demo = await liveDemo();
  expect((await demo.get('/api/signed-text?subject=limits')).status).toBe(409);
  expect(await signaturesOf(demo)).toMatchObject({ signatures: [], standings: [] });
});
