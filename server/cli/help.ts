/** The help: made from the tables that the verbs read their options by. */
import type { OptionTable } from './options.ts';

export interface VerbHelp {
  readonly says: string;
  readonly options: OptionTable;
}

function optionLines(options: OptionTable): string[] {
  const heads = Object.entries(options).map(([name, { value }]) => `--${name}${value ? ` ${value}` : ''}`);
  const width = Math.max(0, ...heads.map((head) => head.length));
  return Object.values(options).map(({ says }, i) => `    ${heads[i]!.padEnd(width)}  ${says}`);
}

export function helpText(verbs: Readonly<Record<string, VerbHelp>>): string {
  const lines = ['jointwise <verb> [options]', ''];
  for (const [name, { says, options }] of Object.entries(verbs)) {
    lines.push(`  ${name}: ${says}`, ...optionLines(options), '');
  }
  lines.push('  help: this text', '  version: the version of the program', '');
  lines.push('Exit code: 0 done; 2 unusable input, nothing written; 1 anything else.', '');
  return lines.join('\n');
}
