import { copyFile, mkdir, mkdtemp, readFile, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { makeReplayData, REPLAY_FILES, truthText, writeReplayData } from '../../ingest/simulator/writeReplayData.ts';

const FOLDER = join(import.meta.dirname, '../../replay-data');

/** What the demo would be today is put here when it differs, to be looked at and copied over. */
const BESIDE = join(import.meta.dirname, '../../test-results/replay-data');

test('the recorded demo is what its plan and scenario make today, byte for byte', async () => {
  const { stream, truth } = await makeReplayData(FOLDER);
  const sameStream = Buffer.compare(await readFile(join(FOLDER, REPLAY_FILES.stream)), stream) === 0;
  const sameTruth = (await readFile(join(FOLDER, REPLAY_FILES.truth), 'utf8')) === truthText(truth);
  if (!sameStream || !sameTruth) {
    await mkdir(BESIDE, { recursive: true });
    await copyFile(join(FOLDER, REPLAY_FILES.plan), join(BESIDE, REPLAY_FILES.plan));
    await copyFile(join(FOLDER, REPLAY_FILES.scenario), join(BESIDE, REPLAY_FILES.scenario));
    await writeReplayData(BESIDE);
  }
  expect({ sameStream, sameTruth }, `what it would be today: ${BESIDE}`).toEqual({ sameStream: true, sameTruth: true });
});

test('the demo holds what it promises', async () => {
  const { plan, truth, stream } = await makeReplayData(FOLDER);
  expect(plan.liner.joints).toHaveLength(12);
  expect(truth.connections).toBe(2);
  expect(truth.incidents.map(({ kind, joint }) => `${kind} on ${joint}`)).toEqual([
    'low pressure on S2',
    'stall on S3',
    'data gap on S5',
  ]);
  // By hand: 40 s at 1.25 m/min is 0.83 m that nobody saw; everything else is expanded.
  for (const joint of truth.joints) {
    const unseen = joint.name === 'S5' ? 0.83 : 0;
    expect(Math.abs(joint.expandedM + unseen - joint.requiredM)).toBeLessThan(0.03);
  }
  expect(stream.length).toBeLessThan(3e6);
});

test('is written whole, and nothing else is left behind', async () => {
  const folder = await mkdtemp(join(tmpdir(), 'jointwise-'));
  try {
    for (const name of [REPLAY_FILES.plan, REPLAY_FILES.scenario])
      await copyFile(join(FOLDER, name), join(folder, name));
    const { stream } = await writeReplayData(folder);
    expect((await stat(join(folder, REPLAY_FILES.stream))).size).toBe(stream.length);
    await expect(stat(join(folder, `${REPLAY_FILES.stream}.part`))).rejects.toMatchObject({ code: 'ENOENT' });
  } finally {
    await rm(folder, { recursive: true });
  }
});
