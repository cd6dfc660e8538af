/**
 * The service killed again and again while it records a stream: a sender that keeps what is not on the disk sends it again,
 * and at the end the record is that of a service that was never killed.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { type AddressInfo, createServer, type Server, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { seededRandom } from '../../ingest/simulator/random.ts';
import { nodeDisk } from '../../server/keep/nodeDisk.ts';
import { listRuns, runFolder } from '../../server/keep/runLibrary.ts';
import { verifyRun } from '../../server/keep/verifyRun.ts';

export interface ServeKillsOptions {
  /** The built program. */
  readonly program: string;
  readonly plan: string;
  readonly stream: string;
  readonly kills: number;
  readonly seed: number;
}

export interface ServeKillsTold {
  readonly bytes: number;
  /** Bytes that were on their way, or not on the disk yet, when the service was killed. */
  readonly sentAgainBytes: number;
  readonly slowestStartMs: number;
}

/** Sends what it is told to whoever connected last. */
class Sender {
  readonly #server: Server;
  #socket: Socket | undefined;
  #connected: () => void = () => {};

  constructor() {
    this.#server = createServer((socket) => {
      this.#socket = socket;
      socket.on('error', () => {});
      this.#connected();
    });
  }

  async listen(): Promise<number> {
    this.#server.listen(0, '127.0.0.1');
    await once(this.#server, 'listening');
    return (this.#server.address() as AddressInfo).port;
  }

  /** The one before is gone. */
  forget(): void {
    this.#socket?.destroy();
    this.#socket = undefined;
  }

  async send(bytes: Uint8Array): Promise<void> {
    if (!this.#socket) {
      await new Promise<void>((resolve) => {
        this.#connected = resolve;
      });
    }
    this.#socket!.write(bytes);
  }

  close(): void {
    this.forget();
    this.#server.close();
  }
}

interface Life {
  readonly url: string;
  readonly child: ChildProcess;
  readonly startMs: number;
}

async function startLife(program: string, args: readonly string[]): Promise<Life> {
  const from = performance.now();
  const child = spawn(process.execPath, [program, 'serve', '--port', '0', ...args], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let out = '';
  let err = '';
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    err += text;
  });
  const line = await new Promise<string>((resolve, reject) => {
    child.stdout.setEncoding('utf8').on('data', (text: string) => {
      out += text;
      if (out.includes('\n')) resolve(out);
    });
    child.once('close', (code) => reject(new Error(`serve ended with ${code}: ${err}`)));
  });
  return { url: /http:\S+/.exec(line)![0], child, startMs: performance.now() - from };
}

async function kill({ child }: Life): Promise<void> {
  const closed = once(child, 'close');
  child.kill('SIGKILL');
  await closed;
}

async function bytesWorked({ url }: Life): Promise<number> {
  return ((await (await fetch(`${url}api/ingest`)).json()) as { bytes: number }).bytes;
}

async function recordWhen(life: Life, bytes: number): Promise<string> {
  for (;;) {
    const worked = await bytesWorked(life);
    if (worked > bytes) throw new Error(`found ${worked} bytes worked in, expected ${bytes}`);
    if (worked === bytes) return (await fetch(`${life.url}api/record`)).text();
    await new Promise((soon) => setTimeout(soon, 20));
  }
}

/** A live source that sends faster than is worked in finds the queue full: so much at a time. */
const AT_ONCE_BYTES = 2 * 1024 * 1024;

async function sendAll(sender: Sender, life: Life, bytes: Uint8Array, from: number): Promise<string> {
  let record = '';
  for (let at = from; at < bytes.length; at += AT_ONCE_BYTES) {
    await sender.send(bytes.subarray(at, at + AT_ONCE_BYTES));
    record = await recordWhen(life, Math.min(bytes.length, at + AT_ONCE_BYTES));
  }
  return record;
}

const pause = (ms: number): Promise<void> => new Promise((soon) => setTimeout(soon, ms));

/** @throws Error that names the seed when the record is another, or the run is not whole */
export async function serveKills({ program, plan, stream, kills, seed }: ServeKillsOptions): Promise<ServeKillsTold> {
  const bytes = readFileSync(stream);
  const random = seededRandom(seed);
  const folder = mkdtempSync(join(tmpdir(), 'jointwise-kills-'));
  const data = join(folder, 'data');
  const sender = new Sender();
  const from = ['--connect', `127.0.0.1:${await sender.listen()}`];
  const kept = [...from, '--plan', plan, '--data', data, '--run', 'killed'];
  const lives: Life[] = [];
  const live = async (args: readonly string[]): Promise<Life> => {
    sender.forget();
    const life = await startLife(program, args);
    lives.push(life);
    return life;
  };
  let sentAgainBytes = 0;
  let sentTo = 0;
  /** From where the service says that it is: what it had acknowledged is there, and perhaps a little more. */
  const goesOnAt = async (life: Life): Promise<number> => {
    const at = await bytesWorked(life);
    if (at > sentTo)
      throw new Error(`seed ${seed}: found ${at} bytes kept, expected at most the ${sentTo} that were sent`);
    sentAgainBytes += sentTo - at;
    return at;
  };
  try {
    for (let n = 0; n < kills; n++) {
      const life = await live(kept);
      const at = await goesOnAt(life);
      const share = ((bytes.length - at) / (kills - n + 1)) * random.between(0.2, 1.8);
      sentTo = at + Math.floor(Math.min(share, AT_ONCE_BYTES));
      await sender.send(bytes.subarray(at, sentTo));
      await pause(random.between(0, 300));
      await kill(life);
    }
    const last = await live(kept);
    const found = await sendAll(sender, last, bytes, await goesOnAt(last));
    await kill(last);
    const uncut = await live([...from, '--plan', plan]);
    const expected = await sendAll(sender, uncut, bytes, 0);
    if (found !== expected) throw new Error(`seed ${seed}: the record after ${kills} kills is another`);
    const { whole, problems } = verifyRun(nodeDisk, runFolder(data, listRuns(data)[0]!.id));
    if (!whole) throw new Error(`seed ${seed}: ${problems.join('; ')}`);
    return { bytes: bytes.length, sentAgainBytes, slowestStartMs: Math.max(...lives.map(({ startMs }) => startMs)) };
  } finally {
    for (const { child } of lives) child.kill('SIGKILL');
    sender.close();
    rmSync(folder, { recursive: true, force: true });
  }
}
