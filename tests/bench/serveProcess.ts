/** The built service as a child process, as users start it. */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const program = fileURLToPath(new URL('../../bin/jointwise.mjs', import.meta.url));

export interface ServeProcess {
  readonly url: string;
  readonly child: ChildProcess;
  /** What node itself said on standard error so far. */
  readonly said: () => string;
  stop(): Promise<void>;
}

/** Resolves with the first whole line that the child says. */
export function firstLine(child: ChildProcess, said: () => string): Promise<string> {
  return new Promise((resolve, reject) => {
    let out = '';
    child.stdout!.setEncoding('utf8').on('data', (text: string) => {
      out += text;
      if (out.includes('\n')) resolve(out.slice(0, out.indexOf('\n')));
    });
    child.once('close', (code) => reject(new Error(`ended with ${code}: ${said()}`)));
  });
}

export async function stopChild(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const closed = once(child, 'close');
  child.kill('SIGTERM');
  await closed;
}

/** @param nodeArgs options of node itself */
export async function startServe(args: readonly string[], nodeArgs: readonly string[] = []): Promise<ServeProcess> {
  const child = spawn(process.execPath, [...nodeArgs, program, 'serve', '--port', '0', ...args], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let err = '';
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    err += text;
  });
  const line = await firstLine(child, () => err);
  const url = /http:\S+/.exec(line)?.[0];
  if (url === undefined) throw new Error(`serve said "${line}", expected its address`);
  return { url, child, said: () => err, stop: () => stopChild(child) };
}

/** Resident size of a process, bytes (Linux). */
export function residentBytes(child: ChildProcess): number {
  const match = /^VmRSS:\s+(\d+) kB$/m.exec(readFileSync(`/proc/${child.pid}/status`, 'utf8'));
  if (!match) throw new Error(`/proc/${child.pid}/status holds no VmRSS`);
  return Number(match[1]) * 1024;
}
