import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { type AddressInfo, connect, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import type { FastifyInstance } from 'fastify';
import { Subject } from 'rxjs';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { createApp } from '../../server/http/app.ts';
import type { HttpLimits } from '../../server/http/httpLimits.ts';
import type { Served } from '../../server/http/route.ts';
import { Hub } from '../../server/live/hub.ts';
import type { Change } from '../../server/live/liveFeed.ts';
import type { LiveRun } from '../../server/live/liveRun.ts';
import { ScenarioStores } from '../../server/scenarios/scenarioStores.ts';
import { LivePage } from '../support/livePage.ts';
import { ManualClock } from '../support/manualClock.ts';

let folder: string;
let app: FastifyInstance | undefined;
let hub: Hub;

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'jointwise-app-'));
  await mkdir(join(folder, 'page/assets'), { recursive: true });
  await writeFile(join(folder, 'page/index.html'), '<!doctype html><title>page</title>');
  await writeFile(join(folder, 'page/assets/a.js'), 'export {};');
  await writeFile(join(folder, 'page/.hidden'), 'hidden');
  await writeFile(join(folder, 'secret.txt'), 'SECRET');
});

afterEach(async () => {
  await hub.close();
  await app?.close();
  app = undefined;
  await rm(folder, { recursive: true });
});

/** The HTTP side alone; what the routes say of a run is tested with the whole service. */
async function listen(limits: Partial<HttpLimits> = {}): Promise<number> {
  const clock = new ManualClock();
  const live = { changes: new Subject<Change>(), takeDelta: () => null, snapshot: (seq: number) => ({ seq }) };
  hub = new Hub(live as unknown as LiveRun, clock);
  const nowMs = () => clock.nowMs();
  const served: Served = {
    live: live as unknown as LiveRun,
    hub,
    scenarios: new ScenarioStores(),
    version: '0',
    startedMs: 0,
    nowMs,
  };
  const admission = { boundTo: '127.0.0.1', machineNames: [], allowedOrigins: ['https://shore.example'] };
  app = await createApp({ served, admission, page: join(folder, 'page'), limits });
  await app.listen({ host: '127.0.0.1', port: 0 });
  return (app.server.address() as AddressInfo).port;
}

/** Sends bytes as they are and gives everything that comes back until the service closes. */
function raw(port: number, text: string, end = false): Promise<string> {
  return new Promise((resolve) => {
    let answer = '';
    const socket: Socket = connect(port, '127.0.0.1', () => {
      if (end) socket.end(text, 'latin1');
      else socket.write(text, 'latin1');
    });
    socket.setEncoding('latin1');
    socket.on('data', (data) => {
      answer += data;
    });
    socket.on('error', () => {});
    socket.on('close', () => resolve(answer));
  });
}

const get = (port: number, path: string, host = `127.0.0.1:${port}`) =>
  raw(port, `GET ${path} HTTP/1.1\r\nHost: ${host}\r\nConnection: close\r\n\r\n`);

test('the page and its files come with the security headers', async () => {
  const port = await listen();
  for (const path of ['/', '/assets/a.js', '/openapi.json', '/nothing']) {
    const { headers } = await fetch(`http://127.0.0.1:${port}${path}`);
    const policy = headers.get('content-security-policy');
    expect(policy).toContain("default-src 'self'");
    expect(policy).toContain("frame-ancestors 'none'");
    expect(policy).not.toContain('unsafe');
    expect(headers.get('x-content-type-options')).toBe('nosniff');
    expect(headers.get('referrer-policy')).toBe('no-referrer');
    expect(headers.get('cross-origin-opener-policy')).toBe('same-origin');
    expect(headers.get('access-control-allow-origin')).toBeNull();
  }
});

test('a file that lies there compressed goes out compressed, to whom understands it', async () => {
  const script = 'export {};'.repeat(500);
  await writeFile(join(folder, 'page/assets/b.js'), script);
  await writeFile(join(folder, 'page/assets/b.js.gz'), gzipSync(script));
  const url = `http://127.0.0.1:${await listen()}`;
  const packed = await fetch(`${url}/assets/b.js`, { headers: { 'accept-encoding': 'gzip' } });
  expect([packed.headers.get('content-encoding'), await packed.text()]).toEqual(['gzip', script]);
  expect(packed.headers.get('content-type')).toMatch(/javascript/);
  expect(packed.headers.get('cache-control')).toContain('immutable');
  const plain = await fetch(`${url}/assets/b.js`, { headers: { 'accept-encoding': 'identity' } });
  expect([plain.headers.get('content-encoding'), await plain.text()]).toEqual([null, script]);
  expect((await fetch(url)).headers.get('cache-control')).toBe('no-cache');
});

test.each(['POST', 'PUT', 'DELETE', 'PATCH', 'OPTIONS'])('%s is refused', async (method) => {
  const port = await listen();
  const answer = await fetch(`http://127.0.0.1:${port}/api/plan`, { method });
  expect(answer.status).toBe(405);
  expect(await answer.json()).toHaveProperty('error');
});

test.each([
  '/../secret.txt',
  '/assets/../../secret.txt',
  '/..%2fsecret.txt',
  '/%2e%2e/secret.txt',
  '/%252e%252e/secret.txt',
  '/..%5csecret.txt',
  '/..\\secret.txt',
  '//secret.txt',
  '/%2fetc/passwd',
  '/etc/passwd',
  '/assets/a.js%00.html',
  '/.hidden',
  `/${'a'.repeat(300)}`,
  '/%',
])('nothing outside the page is served: %s', async (path) => {
  const port = await listen();
  const answer = await get(port, path);
  expect(answer).toMatch(/^HTTP\/1\.1 (400|403|404) /);
  expect(answer).not.toMatch(/SECRET|hidden\b(?!.*nothing)|root:/);
});

test.each(['evil.example', 'localhost.evil.example', '127.0.0.1.evil.example'])('Host %s is refused', async (host) => {
  const port = await listen();
  expect(await get(port, '/', host)).toMatch(/^HTTP\/1\.1 403 /);
  expect(await get(port, '/api/plan', host)).toMatch(/^HTTP\/1\.1 403 /);
});

test('a foreign page cannot open the live link, ours and an allowed one can', async () => {
  const port = await listen();
  const url = `ws://127.0.0.1:${port}/live`;
  const foreign = ['http://evil.example', 'null', `http://127.0.0.1:${port}.evil.example`, `https://127.0.0.1:${port}`];
  for (const origin of foreign) {
    const page = new LivePage(url, { origin });
    const status = new Promise((resolve) =>
      page.socket.on('unexpected-response', (_, answer) => resolve(answer.statusCode)),
    );
    expect(await status, origin).toBe(403);
    page.close();
  }
  expect(hub.counts()).toMatchObject({ pages: 0, refused: { 'foreign origin': foreign.length } });
  for (const options of [{ origin: `http://127.0.0.1:${port}` }, { origin: 'https://shore.example' }, {}]) {
    const page = await LivePage.open(url, options);
    page.close();
  }
  const bent = new LivePage(url, { headers: { host: 'evil.example' }, origin: 'http://evil.example' });
  expect(await bent.closed).toBe(1006);
  const elsewhere = new LivePage(`ws://127.0.0.1:${port}/other`);
  expect(await elsewhere.closed).toBe(1006);
});

test('headers that come too slowly, and a connection that says nothing, are closed', async () => {
  const port = await listen({ headersMs: 200, requestMs: 300, lookMs: 50, idleMs: 400 });
  expect(await raw(port, 'GET / HTTP/1.1\r\nHost: 127')).toMatch(/^(HTTP\/1\.1 408 .*)?$/s);
  expect(await raw(port, '')).toMatch(/^(HTTP\/1\.1 408 .*)?$/s);
  expect(await get(port, '/')).toMatch(/^HTTP\/1\.1 200 /);
});

test('headers that are too large and a body that is too large are refused', async () => {
  const port = await listen();
  expect(await get(port, `/?${'a'.repeat(20_000)}`)).toMatch(/^HTTP\/1\.1 431 /);
  const body = 'x'.repeat(5000);
  const text = `GET /openapi.json HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\nContent-Length: 5000\r\n\r\n${body}`;
  expect(await raw(port, text)).toMatch(/^HTTP\/1\.1 [245]/);
});

test('noise instead of a request ends that connection only', async () => {
  const port = await listen();
  for (const noise of ['&&\r\n01081000\r\n!!\r\n', '\x16\x03\x01\x02\x00\x01', '\0'.repeat(2000)]) {
    expect(await raw(port, noise)).toMatch(/^HTTP\/1\.1 400 /);
  }
  expect(await get(port, '/')).toMatch(/^HTTP\/1\.1 200 /);
});
