/**
 * The HTTP side. A request's life: Host admitted → method → Origin of a POST admitted → query or body judged → route →
 * security headers.
 * An upgrade's life: Host and Origin admitted → /live → the hub.
 */
import type { IncomingMessage } from 'node:http';
import type { Duplex } from 'node:stream';
import fastifyStatic from '@fastify/static';
import fastify, { type FastifyInstance, type FastifyReply, type FastifyRequest } from 'fastify';
import { z } from 'zod/mini';
import { Fault } from '../../src/fault.ts';
import { parseJson } from '../plan/parseJson.ts';
import { schemaFaults } from '../plan/schemaFaults.ts';
import { type Admission, hostAdmitted, originAdmitted } from './admission.ts';
import { HTTP_LIMITS, type HttpLimits } from './httpLimits.ts';
import { describeRoutes } from './openapi.ts';
import type { Route, Served } from './route.ts';
import { checkRoute } from './routes/check.ts';
import { courseRoute } from './routes/course.ts';
import { exportRoutes } from './routes/exports.ts';
import { closeHandoverRoute, handoverRoute } from './routes/handover.ts';
import { healthRoute } from './routes/health.ts';
import { ingestRoute } from './routes/ingest.ts';
import { journalRoute } from './routes/journal.ts';
import { IMPORT_ROUTES } from './routes/libraryImports.ts';
import { RUN_ROUTES } from './routes/libraryRun.ts';
import { LIBRARY_ROUTES } from './routes/libraryRuns.ts';
import { openapiRoute } from './routes/openapi.ts';
import { addPersonRoute, peopleRoute } from './routes/people.ts';
import { planRoute } from './routes/plan.ts';
import { recordRoute } from './routes/record.ts';
import { reportRoute } from './routes/report.ts';
import { runJournalRoute } from './routes/runJournal.ts';
import { runsRoute } from './routes/runs.ts';
import { samplesRoute } from './routes/samples.ts';
import { SCENARIO_ROUTES } from './routes/scenarios.ts';
import { jointSheetRoute, sheetsRoute } from './routes/sheets.ts';
import { SHIFT_SHEET_ROUTES } from './routes/shiftSheets.ts';
import { signRoute } from './routes/sign.ts';
import { signaturesRoute } from './routes/signatures.ts';
import { signedTextRoute } from './routes/signedText.ts';
import { timeRoute } from './routes/time.ts';
import { togetherRoute } from './routes/together.ts';
import { tracesRoute } from './routes/traces.ts';
import { SECURITY_HEADERS } from './securityHeaders.ts';

export const LIVE_PATH = '/live';

export interface AppOptions {
  readonly served: Served;
  readonly admission: Admission;
  /** Folder of the built page; left out: no page, only the interface. */
  readonly page?: string;
  readonly limits?: Partial<HttpLimits>;
}

export function listRoutes(version: string): readonly Route[] {
  const routes: Route[] = [
    healthRoute,
    planRoute,
    checkRoute,
    recordRoute,
    tracesRoute,
    samplesRoute,
    courseRoute,
    ingestRoute,
    journalRoute,
    runsRoute,
    runJournalRoute,
    peopleRoute,
    addPersonRoute,
    signedTextRoute,
    signRoute,
    signaturesRoute,
    timeRoute,
    handoverRoute,
    closeHandoverRoute,
    togetherRoute,
    ...SCENARIO_ROUTES,
    ...LIBRARY_ROUTES,
    ...RUN_ROUTES,
    ...IMPORT_ROUTES,
    ...exportRoutes,
    reportRoute,
    ...SHIFT_SHEET_ROUTES,
    sheetsRoute,
    jointSheetRoute,
  ];
  let description: object | undefined;
  routes.push(
    openapiRoute(() => {
      description ??= describeRoutes(routes, version);
      return description;
    }),
  );
  return routes;
}

export async function createApp(options: AppOptions): Promise<FastifyInstance> {
  const limits = { ...HTTP_LIMITS, ...options.limits };
  const app = fastify({
    logger: false,
    requestTimeout: limits.requestMs,
    connectionTimeout: limits.idleMs,
    keepAliveTimeout: limits.keepAliveMs,
    bodyLimit: limits.bodyBytes,
    routerOptions: { maxParamLength: limits.paramLength },
    forceCloseConnections: true,
    schemaController: { compilersFactory: { buildValidator: notUsed, buildSerializer: notUsed } },
    http: {
      headersTimeout: limits.headersMs,
      requestTimeout: limits.requestMs,
      connectionsCheckingInterval: limits.lookMs,
      maxHeaderSize: limits.headerBytes,
    },
  });
  app.server.maxConnections = limits.connections;
  const routes = listRoutes(options.served.version);
  guard(app, options.admission, methodsOf(routes));
  takeJson(app);
  for (const route of routes) if (!route.upload) addRoute(app, route, options.served);
  await app.register(async (uploads) => {
    takeBytes(uploads);
    for (const route of routes) if (route.upload) addRoute(uploads, route, options.served);
  });
  if (options.page !== undefined) {
    await app.register(fastifyStatic, {
      root: options.page,
      dotfiles: 'deny',
      preCompressed: true,
      cacheControl: false,
      // Files in assets are named by their content; all others are asked for again each time.
      setHeaders: (answer, file) =>
        answer.setHeader('cache-control', file.includes('/assets/') ? 'max-age=31536000, immutable' : 'no-cache'),
    });
  }
  app.server.on('upgrade', (request, socket, head) => upgrade(request, socket, head, options));
  return app;
}

/** Routes carry no schema of the framework's own: zod judges the queries. So its two compilers need not be loaded. */
function notUsed(): never {
  throw new Error('broken promise: no route has a schema of its own');
}

/** Where bytes are taken nothing else is. */
function takeBytes(app: FastifyInstance): void {
  app.removeAllContentTypeParsers();
  app.addContentTypeParser('application/octet-stream', { parseAs: 'buffer' }, (_request, bytes, done) => {
    done(null, bytes);
  });
}

/** A body is JSON, and a fault in it is told by its place. */
function takeJson(app: FastifyInstance): void {
  app.removeAllContentTypeParsers();
  app.addContentTypeParser('application/json', { parseAs: 'string' }, (_request, text, done) => {
    try {
      done(null, parseJson('the body', text as string));
    } catch (error) {
      done(error instanceof Fault ? Object.assign(error, { statusCode: 400 }) : (error as Error));
    }
  });
}

/** What is said where the framework refuses a request before its route is asked. */
const REFUSALS: Readonly<Record<number, string>> = {
  413: 'the body is longer than may be',
  415: 'the body: found another type, expected the one that the route takes',
};

/** What a request to a path, as it was asked for, may be. A path that is none of ours, such as a file of the page, is read. */
function methodsOf(routes: readonly Route[]): (path: string) => readonly string[] {
  const patterns = routes.map(({ url, body, upload }) => ({
    parts: url.split('/'),
    methods: body || upload ? ['POST'] : READING,
  }));
  return (path) => {
    const asked = path.split('/');
    const fits = (part: string, i: number): boolean => (part.startsWith(':') ? asked[i] !== '' : part === asked[i]);
    const found = patterns.filter(({ parts }) => parts.length === asked.length && parts.every(fits));
    return found.length > 0 ? [...new Set(found.flatMap(({ methods }) => methods))] : READING;
  };
}
const READING = ['GET', 'HEAD'];

function guard(app: FastifyInstance, admission: Admission, methodsOfPath: (path: string) => readonly string[]): void {
  app.addHook('onRequest', async (request, reply) => {
    reply.headers(SECURITY_HEADERS);
    if (!hostAdmitted(request.headers.host, admission)) return refuse(reply, 403, 'this name is not ours');
    const understood = methodsOfPath(request.url.split('?')[0]!);
    if (!understood.includes(request.method)) {
      reply.header('allow', understood.join(', '));
      const named = understood.filter((method) => method !== 'HEAD').join(' and ');
      return refuse(reply, 405, `only ${named} is understood`);
    }
    const { origin, host } = request.headers;
    if (request.method === 'POST' && !originAdmitted(origin, host!, admission))
      return refuse(reply, 403, 'this page is not ours');
  });
  app.setNotFoundHandler((_request, reply) => refuse(reply, 404, 'there is nothing of this name'));
  app.setErrorHandler((error: { statusCode?: number }, _request, reply) => {
    const code = error.statusCode ?? 500;
    if (code >= 500) process.stderr.write(`request failed: ${String(error)}\n`);
    if (error instanceof Fault) return refuse(reply, code, error.message);
    return refuse(
      reply,
      code,
      code >= 500 ? 'the service failed' : (REFUSALS[code] ?? 'the request cannot be understood'),
    );
  });
}

function refuse(reply: FastifyReply, code: number, error: string): FastifyReply {
  return reply.code(code).send({ error });
}

function addRoute(app: FastifyInstance, route: Route, served: Served): void {
  const { body, upload } = route;
  if (upload) {
    app.post(route.url, { bodyLimit: upload.mostBytes }, (request: FastifyRequest, reply) => {
      const wrong = asked(route, request);
      return wrong === null ? route.handle(served, request, reply) : refuse(reply, 400, wrong);
    });
    return;
  }
  if (body) {
    app.post(route.url, { bodyLimit: body.mostBytes }, (request: FastifyRequest, reply) => {
      const wrong = asked(route, request);
      if (wrong !== null) return refuse(reply, 400, wrong);
      const judged = z.safeParse(body.schema, request.body);
      if (!judged.success) return refuse(reply, 400, schemaFaults(judged.error.issues, request.body)[0]!);
      request.body = judged.data;
      return route.handle(served, request, reply);
    });
    return;
  }
  app.get(route.url, (request: FastifyRequest, reply) => {
    reply.header('cache-control', 'no-store');
    const wrong = asked(route, request);
    return wrong === null ? route.handle(served, request, reply) : refuse(reply, 400, wrong);
  });
}

/** Judges path and query, and puts what they were found to be in their place. @returns what is wrong, in one line */
function asked(route: Route, request: FastifyRequest): string | null {
  for (const what of ['params', 'query'] as const) {
    const schema = route[what];
    if (!schema) continue;
    const judged = z.safeParse(schema, request[what]);
    if (!judged.success) return schemaFaults(judged.error.issues, request[what])[0]!;
    request[what] = judged.data;
  }
  return null;
}

function upgrade(request: IncomingMessage, socket: Duplex, head: Buffer, options: AppOptions): void {
  // Before the hub takes over and after it refuses, a reset link must not end the service.
  socket.on('error', () => socket.destroy());
  const { host, origin } = request.headers;
  const no = (status: string) =>
    socket.end(`HTTP/1.1 ${status}\r\nConnection: close\r\nContent-Length: 0\r\n\r\n`, () => socket.destroy());
  const { hasLive } = options.served;
  if (request.url?.split('?')[0] !== LIVE_PATH || hasLive?.() === false) no('404 Not Found');
  else if (!hostAdmitted(host, options.admission) || !originAdmitted(origin, host ?? '', options.admission)) {
    options.served.hub.countForeign();
    no('403 Forbidden');
  } else options.served.hub.upgrade(request, socket, head);
}
