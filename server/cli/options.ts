/** Options of a verb: one table says what there is, reads it and explains it. */
import { parseArgs } from 'node:util';
import { Fault } from '../../src/fault.ts';

export interface Option {
  readonly type: 'string' | 'boolean';
  readonly multiple?: true;
  /** What stands for the value in the help. */
  readonly value?: string;
  readonly says: string;
}
export type OptionTable = Readonly<Record<string, Option>>;

type ValueOf<O extends Option> = O['type'] extends 'boolean'
  ? boolean | undefined
  : O['multiple'] extends true
    ? string[] | undefined
    : string | undefined;
export type OptionValues<T extends OptionTable> = { readonly [K in keyof T]: ValueOf<T[K]> };

const UNKNOWN = /Unknown option '([^']+)'/;
const POSITIONAL = /Unexpected argument '([^']*)'/;
const WANTS_VALUE = /Option '(-?-?[\w-]+)[^']*' (argument missing|argument is ambiguous)/;
const TAKES_NONE = /Option '(-?-?[\w-]+)[^']*' does not take an argument/;

function faultLine(message: string, table: OptionTable): string {
  const names = Object.keys(table).map((name) => `--${name}`);
  const unknown = UNKNOWN.exec(message);
  if (unknown) return `${unknown[1]}: found an unknown option, expected one of ${names.join(', ')}`;
  const positional = POSITIONAL.exec(message);
  if (positional) return `"${positional[1]}": found a word that belongs to no option, expected ${names.join(', ')}`;
  const missing = WANTS_VALUE.exec(message);
  if (missing) return `${missing[1]}: found no value, expected one`;
  const none = TAKES_NONE.exec(message);
  return none ? `${none[1]}: found a value, expected none` : message.split('\n')[0]!;
}

/** @throws Fault `bad option`. */
export function readOptions<T extends OptionTable>(args: readonly string[], table: T): OptionValues<T> {
  return parsed(args, table, false).values;
}

/**
 * Options of a verb that is about one thing, whose name stands among them by itself.
 * @param what in words, for the fault
 * @throws Fault `bad option`: also for no name, or two.
 */
export function readNameAndOptions<T extends OptionTable>(
  args: readonly string[],
  table: T,
  what: string,
): OptionValues<T> & { readonly name: string } {
  const { values, positionals } = parsed(args, table, true);
  if (positionals.length !== 1) {
    const found = positionals.length === 0 ? 'nothing' : positionals.map((word) => `"${word}"`).join(' and ');
    throw new Fault('bad option', `found ${found}, expected ${what}`);
  }
  return { ...values, name: positionals[0]! };
}

/**
 * Options of a verb that is about a run or a file: the run may stand by itself or behind --run, not both.
 * @throws Fault `bad option`
 */
export function readRunAndOptions<T extends OptionTable & { readonly run: Option }>(
  args: readonly string[],
  table: T,
): OptionValues<T> & { readonly run: string | undefined } {
  const { values, positionals } = parsed(args, table, true);
  const { run } = values as { readonly run?: string };
  const said = run === undefined ? positionals : [run, ...positionals];
  if (said.length > 1) {
    throw new Fault('bad option', `found ${said.map((word) => `"${word}"`).join(' and ')}, expected one run`);
  }
  return { ...values, run: said[0] };
}

function parsed<T extends OptionTable>(
  args: readonly string[],
  table: T,
  allowPositionals: boolean,
): { readonly values: OptionValues<T>; readonly positionals: readonly string[] } {
  const options = Object.fromEntries(
    Object.entries(table).map(([name, { type, multiple }]) => [name, { type, multiple: multiple ?? false }]),
  );
  try {
    const { values, positionals } = parseArgs({ args: [...args], options, strict: true, allowPositionals });
    return { values: values as OptionValues<T>, positionals };
  } catch (error) {
    if (!(error instanceof Error) || !String((error as NodeJS.ErrnoException).code).startsWith('ERR_PARSE_ARGS')) {
      throw error;
    }
    throw new Fault('bad option', faultLine(error.message, table));
  }
}

/** @throws Fault `bad option` when the option was not given. */
export function needed(name: string, value: string | undefined, what: string): string {
  if (value === undefined || value === '') throw new Fault('bad option', `--${name}: found nothing, expected ${what}`);
  return value;
}

/** @throws Fault `bad option` when it is not a number within [least, most]. */
export function numberOption(
  name: string,
  text: string | undefined,
  fallback: number,
  least: number,
  most: number,
): number {
  if (text === undefined) return fallback;
  const value = text.trim() === '' ? Number.NaN : Number(text);
  if (!(value >= least && value <= most)) {
    throw new Fault('bad option', `--${name}: found "${text}", expected a number from ${least} to ${most}`);
  }
  return value;
}

/** A port to listen on; 0 lets the system choose. */
export function portOption(name: string, text: string | undefined, fallback: number): number {
  const port = numberOption(name, text, fallback, 0, 65_535);
  if (!Number.isInteger(port)) throw new Fault('bad option', `--${name}: found "${text}", expected a whole number`);
  return port;
}

/** `HOST:PORT`, `[IPv6]:PORT`. */
export function addressOption(name: string, text: string): { host: string; port: number } {
  const match = /^(?:\[([0-9a-fA-F:.]+)\]|([^\s:[\]]+)):(\d{1,5})$/.exec(text);
  const port = Number(match?.[3]);
  if (!match || port < 1 || port > 65_535) {
    throw new Fault('bad option', `--${name}: found "${text}", expected HOST:PORT`);
  }
  return { host: (match[1] ?? match[2])!, port };
}
