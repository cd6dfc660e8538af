/** One route as data: from the same list the app is built and described. */
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { z } from 'zod';
import type { CaliperReading } from '../../src/engineering/caliperLog.ts';
import type { ReportExtras } from '../../src/report/reportInput.ts';
import type { RunLibrary } from '../keep/runLibrary.ts';
import type { Hub } from '../live/hub.ts';
import type { LiveRun } from '../live/liveRun.ts';

/** What the routes may look at. */
export interface Served {
  readonly live: LiveRun;
  readonly hub: Hub;
  /** Undefined: no run is kept. */
  readonly library?: RunLibrary | undefined;
  /** The caliper log that the hole is checked by; left out: none. */
  readonly caliper?: CaliperReading | undefined;
  /** What a report says beside the run itself: signatures, time sheets, whether the kept run is whole. Left out: nothing. */
  readonly reportExtras?: (() => ReportExtras | Promise<ReportExtras>) | undefined;
  readonly version: string;
  readonly startedMs: number;
  readonly nowMs: () => number;
}

export interface Answer {
  readonly says: string;
  readonly type: 'application/json' | 'application/octet-stream' | 'application/pdf' | 'image/svg+xml';
  readonly schema?: z.ZodType;
}

export interface Route {
  readonly url: string;
  readonly says: string;
  readonly query?: z.ZodObject;
  /** A route with a body is a POST of JSON, from our own page only; all others are GETs. */
  readonly body?: { readonly schema: z.ZodType; readonly mostBytes: number };
  readonly answers: Readonly<Record<number, Answer>>;
  handle(served: Served, request: FastifyRequest, reply: FastifyReply): unknown;
}
