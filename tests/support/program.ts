/** The built program, started as users start it. */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));
const bin = fileURLToPath(new URL('../../bin/jointwise.mjs', import.meta.url));

export interface Ended {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

export interface Program {
  readonly child: ChildProcess;
  readonly ended: Promise<Ended>;
  /** The first line on standard output; rejects when the program ends before it. */
  readonly firstLine: Promise<string>;
}

export function start(args: readonly string[], input?: string | Uint8Array): Program {
  const child = spawn(process.execPath, [bin, ...args], { cwd: root, stdio: ['pipe', 'pipe', 'pipe'] });
  let out = '';
  let err = '';
  child.stdout.setEncoding('utf8').on('data', (data) => {
    out += data;
  });
  child.stderr.setEncoding('utf8').on('data', (data) => {
    err += data;
  });
  // A program that refuses its options does not read; that is no fault of the test.
  child.stdin.on('error', () => {});
  if (input !== undefined) child.stdin.end(input);
  const ended = once(child, 'close').then(([code]) => ({ code: code as number | null, out, err }));
  const firstLine = new Promise<string>((resolve, reject) => {
    child.stdout.on('data', () => out.includes('\n') && resolve(out.slice(0, out.indexOf('\n'))));
    void ended.then(({ code }) => reject(new Error(`ended with ${code}: ${err}`)));
  });
  firstLine.catch(() => {});
  return { child, ended, firstLine };
}

export const run = (args: readonly string[], input: string | Uint8Array = ''): Promise<Ended> =>
  start(args, input).ended;
