/** The archive of a run over HTTP: downloaded from one library, sent to another; and what a report over HTTP says of a kept run. */
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { systemClock } from '../../ingest/clock.ts';
import { nodeDisk } from '../../server/keep/nodeDisk.ts';
import { RunLibrary, runFolder } from '../../server/keep/runLibrary.ts';
import { verifyRun } from '../../server/keep/verifyRun.ts';
import { startLibrary } from '../../server/service.ts';
import { type ImportState, importSchema } from '../../src/library/librarySchema.ts';
import { libraryWithDemo, readZip, writeZip } from '../archive/archivedRun.ts';
import { readPdf } from '../support/pdfText.ts';

let base: string;
let id: string;
let archive: Buffer;
const closers: (() => Promise<unknown>)[] = [];

async function served(data: string): Promise<string> {
  const library = new RunLibrary(data, { nowMs: () => systemClock.nowMs(), report: () => {} });
  const service = await startLibrary({
    library,
    data,
    report: () => {},
    clock: systemClock,
    host: '127.0.0.1',
    port: 0,
    allowedOrigins: [],
  });
  closers.push(async () => {
    await service.close();
    await library.end();
  });
  return service.url;
}

beforeAll(async () => {
  base = mkdtempSync(join(tmpdir(), 'jointwise-archive-routes-'));
  id = await libraryWithDemo(join(base, 'one'));
  const url = await served(join(base, 'one'));
  const answers = await Promise.all([fetch(`${url}api/runs/${id}/archive`), fetch(`${url}api/runs/${id}/archive`)]);
  // One at a time.
  expect(answers.map(({ status }) => status).sort()).toEqual([200, 409]);
  const answer = answers.find(({ status }) => status === 200)!;
  expect(answer.headers.get('content-disposition')).toContain('filename="trip-4-archive.zip"');
  archive = Buffer.from(await answer.arrayBuffer());
  expect(Number(answer.headers.get('content-length'))).toBe(archive.length);
}, 120_000);
afterAll(async () => {
  for (const close of closers) await close();
  rmSync(base, { recursive: true, force: true });
});

const post = (url: string, body: object | Buffer): Promise<Response> => {
  const isBytes = Buffer.isBuffer(body);
  return fetch(url, {
    method: 'POST',
    headers: { 'content-type': isBytes ? 'application/octet-stream' : 'application/json' },
    body: isBytes ? new Uint8Array(body) : JSON.stringify(body),
  });
};

async function sent(url: string, file: string, bytes: Buffer): Promise<ImportState> {
  const begun = importSchema.parse(
    await (await post(`${url}api/imports/archive`, { file, bytes: bytes.length })).json(),
  );
  for (let at = 0; at < bytes.length; at += begun.partBytes) {
    const part = await post(`${url}api/imports/${begun.id}/part?at=${at}`, bytes.subarray(at, at + begun.partBytes));
    expect(part.status).toBe(200);
  }
  expect((await post(`${url}api/imports/${begun.id}/read`, {})).status).toBe(200);
  return vi.waitUntil(
    async () => {
      const { import: state } = importSchema.parse(await (await fetch(`${url}api/imports/${begun.id}`)).json());
      return state.state === 'kept' || state.state === 'refused' ? state : null;
    },
    { timeout: 60_000 },
  );
}

test('it holds a report, leaves nothing behind, and is a run of another library, whole as it was', async () => {
  const file = join(base, 'got.zip');
  writeFileSync(file, archive);
  const report = (await readZip(file)).find(({ name }) => name === 'report.pdf')!;
  const said = readPdf(report.bytes).pages.flatMap(({ texts }) => texts);
  expect(said).toContain('WHOLE: every record is the one that was written');
  await expect.poll(() => readdirSync(join(base, 'one', 'backups'))).toEqual([]);

  const other = join(base, 'other');
  const url = await served(other);
  expect(await sent(url, 'got.zip', archive)).toEqual({ state: 'kept', run: id });
  expect(verifyRun(nodeDisk, runFolder(other, id))).toMatchObject({ whole: true, sealed: true });
  expect(verifyRun(nodeDisk, runFolder(other, id)).hash).toBe(
    verifyRun(nodeDisk, runFolder(join(base, 'one'), id)).hash,
  );
  const record = (await (await fetch(`${url}api/runs/${id}/record`)).json()) as { format: string };
  expect(record.format).toBe('jointwise-record/1');
  expect(await sent(url, 'again.zip', archive)).toEqual({
    state: 'refused',
    why: `runs/${id}: found a run of this id, expected none: it is not replaced`,
  });
}, 120_000);

test('one that was changed is refused by its place, without a word of where it lies; so is what is no archive', async () => {
  const file = join(base, 'source.zip');
  writeFileSync(file, archive);
  const entries = (await readZip(file)).map((entry) =>
    entry.name === 'journal.jsonl'
      ? { ...entry, bytes: Buffer.from(entry.bytes.toString('utf8').replace('2400.5', '2401.5')) }
      : entry,
  );
  const changed = readFileSync(await writeZip(join(base, 'changed.zip'), entries));
  const data = join(base, 'third');
  const url = await served(data);
  const state = await sent(url, 'changed.zip', changed);
  expect(state.state === 'refused' && state.why).toMatch(/^changed\.zip: journal\.jsonl: found other content/);
  const letter = await sent(url, 'letter.txt', Buffer.from('Dear all, this is no archive.'));
  expect(letter.state === 'refused' && letter.why).toMatch(/^letter\.txt: found .*, expected the archive of a run$/);
  expect(JSON.stringify([state, letter])).not.toContain(base);
  expect(((await (await fetch(`${url}api/runs`)).json()) as { runs: object[] }).runs).toEqual([]);
}, 120_000);

test('the report of a kept run says over HTTP whether it is whole, and what is not', async () => {
  const data = join(base, 'fourth');
  const run = await libraryWithDemo(data);
  const file = join(runFolder(data, run), 'raw-00001.log');
  const bytes = readFileSync(file);
  const place = bytes.lastIndexOf('\r\n0108') + 6;
  bytes[place] = bytes[place]! ^ 1;
  writeFileSync(file, bytes);
  const url = await served(data);
  const answer = await fetch(`${url}api/runs/${run}/report.pdf`);
  expect(answer.status).toBe(200);
  const pages = readPdf(new Uint8Array(await answer.arrayBuffer())).pages.map(({ texts }) => texts.join(' '));
  expect(pages[0]).toContain('NOT WHOLE');
  expect(pages.join(' ')).toMatch(/raw-00001\.log/);
  for (const kind of ['time.csv', 'joints.csv']) {
    expect([kind, (await fetch(`${url}api/runs/${run}/export/${kind}`)).status]).toEqual([kind, 200]);
  }
  for (const sheet of ['handover.pdf', 'day.svg']) {
    expect([sheet, (await fetch(`${url}api/runs/${run}/sheets/${sheet}`)).status]).toEqual([sheet, 200]);
  }
}, 120_000);
