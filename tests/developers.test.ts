/** DEVELOPERS.md is held to the tree: what it names is there, and no folder is left out of its map. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';

const text = readFileSync('DEVELOPERS.md', 'utf8');
const LAYERS = ['src', 'ingest', 'server', 'web'] as const;

/** The row of the map that tells the folders of a layer. */
const rowOf = (layer: string): string => text.split('\n').find((line) => line.startsWith(`| \`${layer}\` | \``)) ?? '';

test.each(LAYERS)('every folder of %s is in the map', (layer) => {
  const folders = readdirSync(layer, { withFileTypes: true }).filter((entry) => entry.isDirectory());
  expect(folders.length).toBeGreaterThan(0);
  const row = rowOf(layer);
  expect(folders.map(({ name }) => name).filter((name) => !row.includes(`\`${name}\``))).toEqual([]);
});

test('every file and folder that it names by its path is there', () => {
  const named = [...text.matchAll(/`((?:src|ingest|server|web|tests)\/[\w./-]*\w)`/g)].map((match) => match[1]!);
  expect(named.length).toBeGreaterThan(50);
  const missing = named.filter((path) => !['', '.ts', '.test.ts'].some((end) => existsSync(path + end)));
  expect(missing).toEqual([]);
});
