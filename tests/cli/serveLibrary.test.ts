/** `serve --data FOLDER` and nothing else: the library without a rig, by the built program. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { run, start } from '../support/program.ts';

function dataFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'jointwise-serve-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return join(folder, 'data');
}

/** Six programs are started one after another, each of which takes its time on a busy machine. */
const PATIENCE_MS = 120_000;

test('it serves what was imported; while it does nobody else writes there', { timeout: PATIENCE_MS }, async () => {
  const data = dataFolder();
  const given = ['--data', data, '--plan', 'replay-data/demo-plan.json', '--in', 'replay-data/demo.wits'];
  expect((await run(['import', ...given, '--name', 'demo', '--quiet'])).code).toBe(0);
  const program = start(['serve', '--data', data, '--port', '0']);
  onTestFinished(async () => {
    program.child.kill('SIGKILL');
    await program.ended;
  });
  const url = /^jointwise: (http:\/\/[\w.:]+\/)/.exec(await program.firstLine)![1]!;
  expect(await (await fetch(`${url}health`)).json()).toMatchObject({ status: 'library only' });
  const { runs } = (await (await fetch(`${url}api/runs`)).json()) as { runs: unknown };
  expect(runs).toMatchObject([{ name: 'demo', state: 'closed', imported: true }]);
  const analysed = await run(['analyse', '--plan', 'replay-data/demo-plan.json', '--in', 'replay-data/demo.wits']);
  expect(await (await fetch(`${url}api/runs/demo/record`)).json()).toEqual(JSON.parse(analysed.out));
  const other = await run(['serve', '--data', data, '--port', '0']);
  expect(other.code).toBe(1);
  expect(other.err).toMatch(/found it held by process \d+ on .*, expected no other writer\n$/);
  program.child.kill('SIGTERM');
  expect((await program.ended).code).toBe(0);
});

test('without a source and with something that needs one it says what is missing', async () => {
  for (const more of [[], ['--data', dataFolder(), '--plan', 'replay-data/demo-plan.json']]) {
    const { code, err } = await run(['serve', ...more]);
    expect([code, err]).toEqual([
      2,
      'serve: found no source, expected one of --connect, --listen, --in, or --data alone to look at a library\n',
    ]);
  }
});
