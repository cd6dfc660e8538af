/** One route as data: from the same list the app is built and described. */
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { z } from 'zod/mini';
import type { CaliperReading } from '../../src/engineering/caliperLog.ts';
import type { ExportKind } from '../../src/export/exportKinds.ts';
import type { ReportExtras, ReportVerification } from '../../src/report/reportInput.ts';
import type { HandoverDesk } from '../handover/handoverDesk.ts';
import type { RunLibrary } from '../keep/runLibrary.ts';
import type { LibraryDesk } from '../library/libraryDesk.ts';
import type { Hub } from '../live/hub.ts';
import type { LiveRun } from '../live/liveRun.ts';
import type { ScenarioStores } from '../scenarios/scenarioStores.ts';
import type { SignDesk } from '../signing/signDesk.ts';
import type { TogetherDesk } from '../together/togetherDesk.ts';

/** What the routes may look at. */
export interface Served {
  /** The run that the live screen shows. @throws Fault with status 404 where there is none, only a library */
  readonly live: LiveRun;
  /** Whether there is a live run; left out: there is. */
  readonly hasLive?: () => boolean;
  readonly hub: Hub;
  /** Undefined: no run is kept. */
  readonly library?: RunLibrary | undefined;
  /** What can be done with the library; undefined: there is none. */
  readonly desk?: LibraryDesk | undefined;
  /** The caliper log that the hole is checked by; left out: none. */
  readonly caliper?: CaliperReading | undefined;
  /** Who may sign, and what is signed. */
  readonly signing?: SignDesk | undefined;
  readonly handover?: HandoverDesk | undefined;
  readonly together?: TogetherDesk | undefined;
  readonly scenarios: ScenarioStores;
  /** What a report says beside the run itself: signatures, time sheets. Left out: nothing. */
  readonly reportExtras?: ((live: LiveRun) => ReportExtras | Promise<ReportExtras>) | undefined;
  /** Whether the run is whole as it is kept; left out, or null from it: it is not kept. */
  readonly verification?: (() => Promise<ReportVerification | null>) | undefined;
  readonly version: string;
  readonly startedMs: number;
  readonly nowMs: () => number;
}

export interface Answer {
  readonly says: string;
  readonly type:
    | 'application/json'
    | 'application/octet-stream'
    | 'application/zip'
    | 'application/pdf'
    | 'image/svg+xml'
    | ExportKind['type'];
  readonly schema?: z.core.$ZodType;
}

export interface Route {
  readonly url: string;
  readonly says: string;
  readonly query?: z.ZodMiniObject;
  /** Of the parts of the path that are written `:name`. */
  readonly params?: z.ZodMiniObject;
  /** A route with a body is a POST of JSON, from our own page only; one with neither this nor `upload` is a GET. */
  readonly body?: { readonly schema: z.core.$ZodType; readonly mostBytes: number };
  /** A route that takes bytes as they are: a POST too. */
  readonly upload?: { readonly mostBytes: number };
  readonly answers: Readonly<Record<number, Answer>>;
  handle(served: Served, request: FastifyRequest, reply: FastifyReply): unknown;
}
