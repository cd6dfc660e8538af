import { readFile } from 'node:fs/promises';
import { expect, test } from 'vitest';
import { EXIT_CODES } from '../../server/cli/exitCodes.ts';
import { VERBS } from '../../server/cli/main.ts';
import { jsonSchemaOf, PUBLISHED } from '../../server/cli/schema.ts';
import { VERSION } from '../../server/version.ts';
import { FAULT_CODES } from '../../src/fault.ts';
import { run } from '../support/program.ts';

test('the help names every verb and every option', async () => {
  const { code, out } = await run(['help']);
  expect(code).toBe(0);
  for (const [name, { says, load }] of Object.entries(VERBS)) {
    expect(out).toContain(`${name}: ${says}`);
    for (const option of Object.keys((await load()).options)) expect(out).toContain(`--${option}`);
  }
});

test('asked for one verb it names that one alone', async () => {
  for (const args of [
    ['restore', '--help'],
    ['help', 'restore'],
  ]) {
    const { code, out } = await run(args);
    expect(code).toBe(0);
    expect(out).toContain(`restore: ${VERBS.restore!.says}`);
    expect(out).toContain('--from');
    expect(out).not.toContain('analyse:');
  }
});

test('the version is that of the package', async () => {
  expect(JSON.parse(await readFile('package.json', 'utf8')).version).toBe(VERSION);
  expect((await run(['version'])).out).toBe(`${VERSION}\n`);
});

test('every fault has an exit code that the contract knows', () => {
  expect(Object.keys(EXIT_CODES).sort()).toEqual(Object.keys(FAULT_CODES).sort());
  for (const code of Object.values(EXIT_CODES)) expect([1, 2]).toContain(code);
});

test('the published schemas are JSON Schema made from those that read the files', async () => {
  const { code, out } = await run(['schema']);
  expect(code).toBe(0);
  const all = JSON.parse(out);
  expect(Object.keys(all)).toEqual(Object.keys(PUBLISHED));
  for (const name of Object.keys(PUBLISHED) as (keyof typeof PUBLISHED)[]) {
    expect(all[name]).toEqual(JSON.parse(JSON.stringify(jsonSchemaOf(name))));
    expect(all[name].$schema).toBe('https://json-schema.org/draft/2020-12/schema');
  }
  expect(all.plan.properties.format.const).toBe('jointwise-plan/1');
  expect(all.plan.required).toContain('liner');
  expect(all.plan.required).not.toContain('stream');
  expect(all.record.properties.joints.items.required).toContain('verdict');
});
