/** What people say about a run is kept with it, comes back after a crash, and changes nothing in its record. */
import { readFileSync } from 'node:fs';
import { afterEach, expect, test } from 'vitest';
import { recordOfKeptRun } from '../../server/cli/recordOfKeptRun.ts';
import { HandoverDesk } from '../../server/handover/handoverDesk.ts';
import { readRun } from '../../server/keep/runLibrary.ts';
import { People } from '../../server/signing/people.ts';
import { SignDesk } from '../../server/signing/signDesk.ts';
import { journalEntrySchema } from '../../src/journal/journalSchema.ts';
import type { SubjectName } from '../../src/signing/subjects.ts';
import { crashImage, KeptService, newFolder, removeFolders, STREAM } from './keptService.ts';

afterEach(removeFolders);

const WHOLE = readFileSync(STREAM);
/** Ends with a whole packet: what ends within one is read to its end only when no more can come. */
const BYTES = WHOLE.subarray(0, WHOLE.lastIndexOf('&&', 800_000));
const PERSON = { name: 'Anna', role: 'company man' } as const;

async function desks() {
  const nowMs = () => Date.now();
  return { signing: new SignDesk(await People.open({ nowMs }), nowMs), handover: new HandoverDesk() };
}

test.each([
  ['from the log alone', Infinity],
  ['from a state that was kept', 500],
])('signatures, handover and codes come back %s', async (_what, keepEverySamples) => {
  const data = newFolder();
  const before = await KeptService.open(data, { keepEverySamples });
  const { signing, handover } = await desks();
  const sign = (service: KeptService, subject: SubjectName, of?: string) =>
    signing.sign(service.live, PERSON, { subject, of, hash: signing.text(service.live, subject, of).hash });
  const half = Math.round(BYTES.length / 2);
  before.send(BYTES.subarray(0, half));
  await before.settled(half);
  await before.live.enter({ by: 'B', action: 'note', text: 'first' });
  await sign(before, 'limits');
  await handover.close(before.live, 'Anna');
  await before.live.enter({ by: 'B', action: 'handover remarks', text: 'slow' });
  await before.live.enter({ by: 'B', action: 'note', text: 'second' });
  before.send(BYTES.subarray(half));
  await before.settled(BYTES.length);
  await sign(before, 'record');
  await sign(before, 'joint', 'S2');
  const { from, to } = before.live.record()!.source;
  await before.live.enter({ by: 'B', action: 'time code', from, to, code: 'RIG', reason: 'all of it' });
  const image = crashImage(data);
  const record = before.record();
  const signatures = signing.signatures(before.live);
  const page = await handover.page(before.live);
  await before.close();
  for (const entry of before.live.course().entries) expect(journalEntrySchema.safeParse(entry).success).toBe(true);

  const after = await KeptService.open(image);
  expect(after.record()).toBe(record);
  expect(after.live.course().entries).toEqual(before.live.course().entries);
  expect(signing.signatures(after.live)).toEqual(signatures);
  expect(signatures.map(({ holds }) => holds.kind)).toEqual(['holds', 'holds', 'holds']);
  expect(await new HandoverDesk().page(after.live)).toEqual(page);
  // One more takes effect once.
  await after.live.enter({ by: 'B', action: 'note', text: 'third' });
  expect(after.live.record()!.journal!.map(({ text }) => text)).toEqual(['first', 'second', 'third']);
  await after.close();

  // Worked through again from its truth: what was said about the run is in its journal and not in its record.
  const run = readRun(image, after.opened.id);
  try {
    const again = await recordOfKeptRun(run, after.opened.plan.job, () => {});
    expect(JSON.stringify(again)).toBe(after.record());
  } finally {
    run.close();
  }
});
