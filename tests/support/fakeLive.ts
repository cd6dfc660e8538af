/**
 * A small real service for looking at the page without the pipeline: serves the built page, and on /live answers hello
 * with a snapshot, then plays deltas that a test gives it. Every message goes through the schemas first.
 */
import { createReadStream, existsSync, statSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join, normalize } from 'node:path';
import { text } from 'node:stream/consumers';
import { type WebSocket, WebSocketServer } from 'ws';
import type { Check } from '../../src/check/checkSchema.ts';
import {
  type DeltaMessage,
  deltaMessageSchema,
  pageMessageSchema,
  type SnapshotMessage,
  snapshotMessageSchema,
} from '../../src/live/messages.ts';

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
};

/** The same policy as the service's, so that what it forbids shows here too. */
const POLICY = "default-src 'self'; img-src 'self' data:; object-src 'none'; base-uri 'none'";

export type Changes = Omit<DeltaMessage, 'type' | 'seq' | 'serverMs'>;

export interface FakeLive {
  readonly url: string;
  /** Hellos received, as parsed. */
  readonly hellos: unknown[];
  /** Entries that pages made in the journal, as parsed. */
  readonly entered: unknown[];
  /** What the next entries are answered: by default, that they are entered. */
  answerEntries(status: number, body: object): void;
  readonly pages: () => number;
  /** Sends the next delta to every page. */
  play(changes: Changes): void;
  /** Sends a text as it is, right or wrong. */
  sayRaw(text: string): void;
  /** Uses up a number without sending it: a hole for the pages to notice. */
  skip(): void;
  /** Cuts every page off. */
  cut(): void;
  /** From now on no page gets in; or again. */
  admit(whether: boolean): void;
  close(): Promise<void>;
}

/**
 * @param check what `/api/check` answers; left out: nothing of that name
 * @param snapshot made anew for every hello, from the number of the last delta
 */
export async function startFakeLive(
  folder: string,
  snapshot: () => Omit<SnapshotMessage, 'type' | 'seq'>,
  check?: Check,
): Promise<FakeLive> {
  let seq = 0;
  let admits = true;
  const hellos: unknown[] = [];
  const sockets = new Set<WebSocket>();
  const entered: unknown[] = [];
  let answer = { status: 201, body: { effect: 'entered', kept: 'memory' } as object };
  const server = createServer((request, response) => {
    const path = new URL(request.url ?? '/', 'http://page').pathname;
    if (path === '/api/journal' && request.method === 'POST') {
      void text(request).then((body) => {
        entered.push(JSON.parse(body));
        response.writeHead(answer.status, { 'content-type': 'application/json' }).end(JSON.stringify(answer.body));
      });
      return;
    }
    if (path === '/api/check' && check) {
      response.writeHead(200, { 'content-type': 'application/json' }).end(JSON.stringify(check));
      return;
    }
    const file = join(folder, normalize(path === '/' ? '/index.html' : path));
    if (!file.startsWith(folder) || !existsSync(file) || !statSync(file).isFile()) {
      response.writeHead(404).end();
      return;
    }
    response.writeHead(200, {
      'content-type': TYPES[extname(file)] ?? 'application/octet-stream',
      'content-security-policy': POLICY,
    });
    createReadStream(file).pipe(response);
  });
  const live = new WebSocketServer({ noServer: true, maxPayload: 4096 });
  server.on('upgrade', (request, socket, head) => {
    if (!admits || request.url !== '/live') {
      socket.destroy();
      return;
    }
    live.handleUpgrade(request, socket, head, (page) => {
      sockets.add(page);
      page.on('close', () => sockets.delete(page));
      page.on('error', (fault) => console.error(`page: ${fault.message}`));
      page.on('message', (data) => {
        const message = pageMessageSchema.parse(JSON.parse(String(data)));
        if (message.type !== 'hello') return;
        hellos.push(message);
        page.send(JSON.stringify(snapshotMessageSchema.parse({ type: 'snapshot', seq, ...snapshot() })));
      });
    });
  });
  const address = await listen(server);
  return {
    url: `http://127.0.0.1:${address.port}/`,
    hellos,
    entered,
    answerEntries(status, body) {
      answer = { status, body };
    },
    pages: () => sockets.size,
    play(changes) {
      seq++;
      const delta = deltaMessageSchema.parse({ type: 'delta', seq, serverMs: Date.now(), ...changes });
      for (const page of sockets) page.send(JSON.stringify(delta));
    },
    sayRaw(text) {
      for (const page of sockets) page.send(text);
    },
    skip() {
      seq++;
    },
    cut() {
      for (const page of sockets) page.terminate();
    },
    admit(whether) {
      admits = whether;
    },
    async close() {
      for (const page of sockets) page.terminate();
      live.close();
      await new Promise<void>((done) => server.close(() => done()));
    },
  };
}

async function listen(server: Server): Promise<AddressInfo> {
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  return server.address() as AddressInfo;
}
