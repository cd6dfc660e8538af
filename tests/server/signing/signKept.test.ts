/** A run that is over is signed and judged too: it is opened for that entry and sealed again. */
import { cpSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { systemClock } from '../../../ingest/clock.ts';
import { RunLibrary } from '../../../server/keep/runLibrary.ts';
import { readPlan } from '../../../server/plan/readPlan.ts';
import { readThrough, takeIn } from '../../../server/recording/readThrough.ts';
import { startLibrary } from '../../../server/service.ts';
import type { RunRecord } from '../../../src/record/recordSchema.ts';
import type { SignatureState } from '../../../src/signing/signatures.ts';

const PLAN = 'replay-data/demo-plan.json';
const STREAM = readFileSync('replay-data/demo.wits');
const PART = STREAM.subarray(0, STREAM.indexOf('&&', 400_000));
const ANNA = { name: 'Anna Berg', secret: 'seven green bottles' };
const BEN = { name: 'Ben Clay', secret: 'eight blue bottles' };

const nowMs = () => systemClock.nowMs();
const report = () => {};

function temporary(): string {
  const folder = mkdtempSync(join(tmpdir(), 'jointwise-sign-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return join(folder, 'data');
}

interface Kept {
  readonly library: RunLibrary;
  readonly id: string;
  readonly get: <T>(what: string) => Promise<T>;
  readonly post: (what: string, body: object) => Promise<{ status: number; body: Record<string, unknown> }>;
  readonly sign: (who: typeof ANNA, subject: string, of?: string) => ReturnType<Kept['post']>;
  readonly signatures: () => Promise<SignatureState[]>;
}

async function kept(data: string, given?: string): Promise<Kept> {
  const library = new RunLibrary(data, { nowMs, report });
  const service = await startLibrary({
    library,
    data,
    report,
    clock: systemClock,
    host: '127.0.0.1',
    port: 0,
    allowedOrigins: [],
  });
  onTestFinished(async () => {
    await service.close();
    await library.end();
  });
  const id = given ?? (await takenIn(library, data));
  const get: Kept['get'] = async (what) => (await fetch(`${service.url}api/${what}`)).json();
  const post: Kept['post'] = async (what, body) => {
    const headers = { 'content-type': 'application/json' };
    const answer = await fetch(`${service.url}api/${what}`, { method: 'POST', headers, body: JSON.stringify(body) });
    return { status: answer.status, body: (await answer.json()) as Record<string, unknown> };
  };
  const sign: Kept['sign'] = async (who, subject, of) => {
    const which = of === undefined ? {} : { of };
    const query = new URLSearchParams({ subject, ...which });
    const { hash } = await get<{ hash: string }>(`runs/${id}/signed-text?${query}`);
    return post(`runs/${id}/sign`, { ...who, subject, hash, ...which });
  };
  const signatures = async () => (await get<{ signatures: SignatureState[] }>(`runs/${id}/signatures`)).signatures;
  return { library, id, get, post, sign, signatures };
}

async function takenIn(library: RunLibrary, data: string): Promise<string> {
  const { text: planText, job } = await readPlan(PLAN);
  async function* chunks() {
    yield PART;
  }
  const stream = { name: 'demo.wits', chunks };
  const { format } = await readThrough(stream, job.stream, undefined, () => {});
  return takeIn(library, data, stream, { name: 'a trip', source: 'demo.wits', format, planText, journal: [], nowMs });
}

async function withPeople(run: Kept): Promise<void> {
  expect((await run.post('people', { ...ANNA, role: 'company man' })).status).toBe(201);
  const added = await run.post('people', { ...BEN, role: 'toolpusher', by: ANNA });
  expect(added.status).toBe(201);
}

test('signed by two at once while it is named anew: all are kept, the run is whole and sealed', async () => {
  const data = temporary();
  const run = await kept(data);
  await withPeople(run);
  const made = await Promise.all([
    run.sign(ANNA, 'pressure tests'),
    run.post(`runs/${run.id}/name`, { name: 'another name' }),
    run.sign(BEN, 'pressure tests'),
    run.sign(ANNA, 'limits'),
  ]);
  // Whoever came while the run was opened anew is asked again; nothing is half done.
  expect(made[1]!.status).toBe(200);
  for (const [i, again] of [
    [0, () => run.sign(ANNA, 'pressure tests')],
    [2, () => run.sign(BEN, 'pressure tests')],
    [3, () => run.sign(ANNA, 'limits')],
  ] as const) {
    const { status, body } = made[i]!;
    if (status !== 201) expect([status, body.error]).toEqual([409, expect.stringMatching(/being opened anew/)]);
    if (status !== 201) expect((await again()).status).toBe(201);
  }
  const signed = await run.signatures();
  expect(signed.map(({ subject, by, holds }) => `${subject} ${by} ${holds.kind}`).sort()).toEqual([
    'limits Anna Berg holds',
    'pressure tests Anna Berg holds',
    'pressure tests Ben Clay holds',
  ]);
  expect((await run.post(`runs/${run.id}/verify`, {})).body).toMatchObject({ whole: true, sealed: true });
  expect(run.library.list()).toMatchObject([{ id: run.id, name: 'another name', state: 'closed' }]);
  // As a service finds it that opens a copy of the folder.
  const copy = temporary();
  cpSync(data, copy, { recursive: true });
  rmSync(join(copy, 'lock'), { force: true });
  const again = await kept(copy, run.id);
  expect(await again.signatures()).toEqual(signed);
});

test('an acceptance that comes later breaks the signature of its joint; what the rig would have done is refused', async () => {
  const run = await kept(temporary());
  await withPeople(run);
  const refused = await run.sign(BEN, 'joint', 'S1');
  expect([refused.status, refused.body.error]).toEqual([403, 'Ben Clay: found toolpusher, who does not sign joint']);
  const { body: first } = await run.sign(ANNA, 'joint', 'S1');
  expect(first).toMatchObject({ version: 1, holds: { kind: 'holds' } });
  const accept = { action: 'accept', by: 'Anna Berg', joint: 'S1', reason: 'seen on the gauges' };
  expect((await run.post(`runs/${run.id}/journal`, accept)).body).toMatchObject({ kept: 'file' });
  const { joints } = await run.get<RunRecord>(`runs/${run.id}/record`);
  expect(joints.find(({ name }) => name === 'S1')!.decision).toMatchObject({ action: 'accept', by: 'Anna Berg' });
  expect(await run.signatures()).toMatchObject([
    { holds: { kind: 'broken', cause: { kind: 'entry', action: 'accept', by: 'Anna Berg' }, parts: ['joint S1'] } },
  ]);
  expect((await run.sign(ANNA, 'joint', 'S1')).body).toMatchObject({ version: 2, holds: { kind: 'holds' } });
  const { plan } = await readPlan(PLAN);
  for (const entry of [
    { action: 'set depth', by: 'Anna Berg', tool: plan.tools[0]!.name, depth: 100 },
    { action: 'change plan', by: 'Anna Berg', plan, reason: 'none' },
  ]) {
    const no = await run.post(`runs/${run.id}/journal`, entry);
    expect([no.status, no.body.error]).toEqual([409, expect.stringMatching(/^run a trip: found it closed/)]);
  }
  expect((await run.post(`runs/${run.id}/verify`, {})).body).toMatchObject({ whole: true, sealed: true });
});
