/** The sources as text, for the tests that hold a catalogue, or a layer, to what is written. */
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';

export const ROOT = fileURLToPath(new URL('../..', import.meta.url));

export interface SourceFile {
  /** From the root of the project, with forward slashes. */
  readonly path: string;
  readonly text: string;
}

export function sourceFiles(...folders: readonly string[]): SourceFile[] {
  return folders.flatMap((folder) =>
    readdirSync(join(ROOT, folder), { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && /\.tsx?$/.test(entry.name))
      .map((entry) => join(entry.parentPath, entry.name))
      .map((file) => ({ path: relative(ROOT, file).replaceAll('\\', '/'), text: readFileSync(file, 'utf8') })),
  );
}

export const withoutComments = (text: string): string =>
  text.replace(/\/\*[\s\S]*?\*\//g, '').replace(/(^|[^:])\/\/.*$/gm, '$1');

/** The files in which `word` stands in single quotes, comments apart. */
export const filesThatSay = (files: readonly SourceFile[], word: string): string[] =>
  files.filter((file) => withoutComments(file.text).includes(`'${word}'`)).map((file) => file.path);
