/** Every regular expression in the sources, read from their syntax trees. */
import { parseSync } from 'vite';
import { sourceFiles } from './sourceText.ts';

export interface FoundRegex {
  /** `server/plan/parseJson.ts: /…/` */
  readonly place: string;
  readonly pattern: string;
  readonly flags: string;
}

function visit(node: unknown, tell: (node: Record<string, unknown>) => void): void {
  if (Array.isArray(node)) {
    for (const each of node) visit(each, tell);
  } else if (typeof node === 'object' && node !== null) {
    tell(node as Record<string, unknown>);
    for (const value of Object.values(node)) visit(value, tell);
  }
}

const isRegex = (value: unknown): value is { pattern: string; flags: string } =>
  typeof value === 'object' && value !== null && 'pattern' in value && 'flags' in value;

/** Literals, and texts that `new RegExp` is given. */
export function regexesIn(...folders: readonly string[]): FoundRegex[] {
  return sourceFiles(...folders).flatMap(({ path, text }) => {
    const found: FoundRegex[] = [];
    const { program, errors } = parseSync(path, text);
    if (errors.length > 0) throw new Error(`${path}: ${errors[0]!.message}`);
    visit(program, (node) => {
      if (node.type !== 'Literal' || !isRegex(node.regex)) return;
      const { pattern, flags } = node.regex;
      found.push({ place: `${path}: /${pattern}/${flags}`, pattern, flags });
    });
    return found;
  });
}

/** Regular expressions that are put together while the program runs, which nobody could read from a tree. */
export const builtRegexes = (...folders: readonly string[]): string[] =>
  sourceFiles(...folders)
    .filter(({ text }) => /\bRegExp\(/.test(text))
    .map(({ path }) => path);
