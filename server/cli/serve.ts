/** `serve`: the live service and its page on one source. */
import { open } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { systemClock } from '../../ingest/clock.ts';
import { fileSource } from '../../ingest/fileSource.ts';
import type { Poll } from '../../ingest/poll.ts';
import { FORMATS, RECOGNISE_BYTES, type StreamFormat } from '../../ingest/recognise.ts';
import { createRecognisedReader } from '../../ingest/recognisedReader.ts';
import type { Source } from '../../ingest/source.ts';
import { stdinSource } from '../../ingest/stdinSource.ts';
import { tcpClientSource } from '../../ingest/tcpClientSource.ts';
import { tcpListenerSource } from '../../ingest/tcpListenerSource.ts';
import { DEFAULT_POLL, DEFAULT_POLL_ITEM } from '../../ingest/wits/pollEcho.ts';
import { pollRequest } from '../../ingest/wits/pollRequest.ts';
import { Fault } from '../../src/fault.ts';
import { isOrigin } from '../http/admission.ts';
import { JournalFile } from '../journalFile.ts';
import type { LiveRunOptions } from '../live/liveRunOptions.ts';
import { firstTry, mustBeReached } from '../live/reachable.ts';
import { pageFolder } from '../pageFolder.ts';
import { fileReason } from '../plan/readBounded.ts';
import { readCaliper } from '../plan/readCaliper.ts';
import { formatOf, formatOption, READERS } from '../readers.ts';
import { startService } from '../service.ts';
import { PEOPLE_FILE } from '../signing/peopleFile.ts';
import { holdYoungSpace } from '../youngSpace.ts';
import {
  addressOption,
  numberOption,
  type OptionTable,
  type OptionValues,
  portOption,
  readOptions,
} from './options.ts';
import { readInputs } from './readInputs.ts';
import { endKept, type KeptService, keptOptions, openKept } from './serveKept.ts';
import { isLibraryAlone, serveLibrary } from './serveLibrary.ts';
import { untilStopped } from './untilStopped.ts';

export const DEFAULT_HTTP_PORT = 8010;
export const DEFAULT_HOST = '127.0.0.1';
/** Characters of a name in what the pages know the run by: a page that comes back says it, and is heard only so far. */
const NAME_SHOWN = 60;

export const SERVE_OPTIONS = {
  plan: { type: 'string', value: 'FILE', says: 'the plan, jointwise-plan/1; a run that goes on has its own' },
  data: {
    type: 'string',
    value: 'FOLDER',
    says: 'the run library, where all that arrives is kept; without a source: its runs are shown; left out: nothing is kept',
  },
  run: { type: 'string', value: 'NAME', says: 'name of the run; one that is there already goes on where it was' },
  resume: { type: 'boolean', says: 'go on with the newest run of the library' },
  connect: { type: 'string', value: 'HOST:PORT', says: 'source: a rig that listens on TCP' },
  listen: { type: 'string', value: 'PORT', says: 'source: a rig that connects to us' },
  in: { type: 'string', value: 'FILE', says: 'source: a recorded stream; - for standard input' },
  pace: { type: 'string', value: 'N', says: 'frames a second of a recorded stream; left out: as fast as it goes' },
  format: { type: 'string', value: 'NAME', says: `${FORMATS.join(', ')}; left out: recognised from the content` },
  wait: { type: 'boolean', says: 'keep trying when the rig cannot be reached at the start' },
  port: { type: 'string', value: 'N', says: `port of the page; left out: ${DEFAULT_HTTP_PORT}` },
  host: { type: 'string', value: 'ADDRESS', says: `address of the page; left out: ${DEFAULT_HOST}` },
  'listen-host': { type: 'string', value: 'ADDRESS', says: 'address that the rig connects to; left out: 127.0.0.1' },
  'allow-origin': {
    type: 'string',
    multiple: true,
    value: 'ORIGIN',
    says: 'a page elsewhere that may watch; repeatable',
  },
  channels: { type: 'string', value: 'FILE', says: 'a channel map, jointwise-channels/1; wins over the plan' },
  journal: { type: 'string', value: 'FILE', says: 'what people did, JSON Lines; what is entered on the page is added' },
  caliper: { type: 'string', value: 'FILE', says: 'a caliper log, LAS 2.0 or CSV, for the check of the plan' },
  rate: { type: 'string', value: 'N', says: 'rig seconds in one of ours, shown on the page; left out: 1' },
  poll: {
    type: 'string',
    value: 'SECONDS',
    says: 'ask the rig for data this often; left out: nothing is ever sent to it',
  },
  'poll-payload': {
    type: 'string',
    multiple: true,
    value: 'ITEM',
    says: `an item of that request, such as ${DEFAULT_POLL_ITEM}, which is sent when left out; repeatable`,
  },
} as const satisfies OptionTable;
export type ServeOptions = OptionValues<typeof SERVE_OPTIONS>;

const MOST_RATE = 100_000;

/** @throws Fault `bad option`: also for a request that would never be sent. */
export function pollOption(options: Pick<ServeOptions, 'poll' | 'poll-payload' | 'in'>): Poll | undefined {
  const { poll, 'poll-payload': items } = options;
  if (poll === undefined) {
    if (items === undefined) return undefined;
    throw new Fault('bad option', '--poll-payload: found it without --poll, expected --poll SECONDS');
  }
  const everyMs = numberOption('poll', poll, 30, 1, 3600) * 1000;
  if (options.in !== undefined) {
    throw new Fault('bad option', '--poll: found it with --in, expected a rig on --connect or --listen');
  }
  if (items === undefined) return { everyMs, payload: DEFAULT_POLL };
  const request = pollRequest(items);
  if (request.kind === 'refused') throw new Fault('bad option', `--poll-payload: ${request.line}`);
  return { everyMs, payload: request.payload };
}

/** What the bytes of a source are; undefined: their first ones tell. */
interface NamedSource {
  readonly source: Source;
  readonly name: string;
  readonly format: StreamFormat | undefined;
}

async function recorded(
  file: string,
  pace: string | undefined,
  forced: StreamFormat | undefined,
): Promise<NamedSource> {
  if (file === '-') return { source: stdinSource(process.stdin, systemClock), name: '-', format: forced };
  const packetsPerSecond =
    pace === undefined ? {} : { packetsPerSecond: numberOption('pace', pace, 1, 0.01, MOST_RATE) };
  const head = await headOf(file);
  const format = forced ?? formatOf(file, head);
  const marks = format === 'wits0' ? 'packets' : 'lines';
  return { source: fileSource({ path: file, marks, ...packetsPerSecond }, systemClock), name: basename(file), format };
}

/** @throws Fault `file unreadable`. */
async function headOf(file: string): Promise<Uint8Array> {
  try {
    const handle = await open(file, 'r');
    try {
      const { bytesRead, buffer } = await handle.read(new Uint8Array(RECOGNISE_BYTES), 0, RECOGNISE_BYTES, 0);
      return buffer.subarray(0, bytesRead);
    } finally {
      await handle.close();
    }
  } catch (error) {
    throw new Fault('file unreadable', `${file}: ${fileReason(error)}, expected a recorded stream`);
  }
}

/** The one source that the options name. @throws Fault `bad option`, `file unreadable`, `unknown format`. */
async function sourceOf(options: ServeOptions, asked: Poll | undefined): Promise<NamedSource> {
  const named = (['connect', 'listen', 'in'] as const).filter((name) => options[name] !== undefined);
  if (named.length !== 1) {
    const found = named.length === 0 ? 'no source' : named.map((name) => `--${name}`).join(' and ');
    const or = named.length === 0 ? ', or --data alone to look at a library' : '';
    throw new Fault('bad option', `serve: found ${found}, expected one of --connect, --listen, --in${or}`);
  }
  const { connect, listen, pace } = options;
  if (pace !== undefined && options.in === undefined) {
    throw new Fault('bad option', '--pace: found it without --in, expected a recorded stream');
  }
  const forced = formatOption(options.format);
  if (forced !== undefined && options.in === undefined) {
    throw new Fault('bad option', '--format: found it without --in, expected a recorded stream');
  }
  const poll = asked ? { poll: asked } : {};
  const format = 'wits0';
  if (connect !== undefined) {
    const source = tcpClientSource({ ...addressOption('connect', connect), ...poll }, systemClock);
    return { source, name: connect, format };
  }
  if (listen !== undefined) {
    const host = options['listen-host'] ?? DEFAULT_HOST;
    const port = portOption('listen', listen, 0);
    return { source: tcpListenerSource({ port, host, ...poll }, systemClock), name: `port ${port}`, format };
  }
  return recorded(options.in!, pace, forced);
}

export function originsOption(origins: readonly string[] = []): readonly string[] {
  const strange = origins.find((origin) => !isOrigin(origin));
  if (strange === undefined) return origins;
  throw new Fault('bad option', `--allow-origin: found "${strange}", expected one such as https://name:port`);
}

export async function serve(args: readonly string[]): Promise<void> {
  const options = readOptions(args, SERVE_OPTIONS);
  keptOptions(options);
  if (isLibraryAlone(options)) return serveLibrary(options);
  const poll = pollOption(options);
  const named = await sourceOf(options, poll);
  const createReader = readerMaker(named.format, poll);
  const name = `${named.name.slice(0, NAME_SHOWN)} ${new Date(systemClock.nowMs()).toISOString()}`;
  const kept = options.data === undefined ? null : await openKept(options, { ...named, name, poll, createReader });
  try {
    await serveRun(options, named.source, createReader, name, kept);
  } finally {
    if (kept) await endKept(kept);
  }
}

function readerMaker(format: StreamFormat | undefined, poll: Poll | undefined): LiveRunOptions['createReader'] {
  return (stream, sink) => {
    const make = (as: StreamFormat) => READERS[as](stream, sink, poll ? { pollPayload: poll.payload } : {});
    return format === undefined ? createRecognisedReader(make) : make(format);
  };
}

async function serveRun(
  options: ServeOptions,
  source: Source,
  createReader: LiveRunOptions['createReader'],
  name: string,
  kept: KeptService | null,
): Promise<void> {
  const inputs = kept ? kept.opened.plan : await readInputs(options);
  const journalFile = options.journal === undefined ? undefined : new JournalFile(options.journal);
  const service = await startService({
    ...inputs,
    ...(journalFile ? { keepEntry: (entry) => journalFile.append(entry) } : {}),
    ...(options.data === undefined ? {} : { peopleFile: join(options.data, PEOPLE_FILE) }),
    ...(kept
      ? {
          recording: kept.opened.parts,
          earlierBytes: kept.opened.earlierBytes,
          inLibrary: { id: kept.opened.id, opening: kept.opening },
        }
      : {}),
    caliper: options.caliper === undefined ? undefined : await readCaliper(options.caliper, inputs.job),
    name: kept ? `${kept.opened.name.slice(0, NAME_SHOWN)} (${kept.opened.id}), ${name}` : name,
    rate: numberOption('rate', options.rate, 1, 0.001, MOST_RATE),
    clock: systemClock,
    source,
    createReader,
    host: options.host ?? DEFAULT_HOST,
    port: portOption('port', options.port, DEFAULT_HTTP_PORT),
    allowedOrigins: originsOption(options['allow-origin']),
    page: pageFolder(),
  });
  try {
    holdYoungSpace(service.live.changes);
    const stopped = untilStopped();
    const first = firstTry(service.live.links);
    await service.live.start();
    const link = await Promise.race([first, stopped.then(() => null)]);
    if (!options.wait) mustBeReached(link, source.name);
    process.stdout.write(`jointwise: ${service.url}\n`);
    await stopped;
  } finally {
    await service.close();
    await journalFile?.close();
  }
}
