/** The part of `serve` that keeps what arrives: which run of the library it is, and how it is opened. */
import { systemClock } from '../../ingest/clock.ts';
import type { Poll } from '../../ingest/poll.ts';
import type { StreamFormat } from '../../ingest/recognise.ts';
import { Fault } from '../../src/fault.ts';
import { type ListedRun, RunLibrary } from '../keep/runLibrary.ts';
import type { LiveRunOptions } from '../live/liveRunOptions.ts';
import type { KeptSource } from '../recording/keptSource.ts';
import {
  beginRecording,
  type OpenedRecording,
  type OpenRecordingOptions,
  resumeRecording,
} from '../recording/openRecording.ts';
import { type InputFiles, readInputs } from './readInputs.ts';

export interface KeptService {
  readonly library: RunLibrary;
  readonly opened: OpenedRecording;
  /** How the next run is begun, or taken up. */
  readonly opening: OpenRecordingOptions;
  /** It is a run that this start began, not one that goes on. */
  readonly isNew: boolean;
}

interface KeptOptions extends InputFiles {
  readonly data: string | undefined;
  readonly run: string | undefined;
  readonly resume: boolean | undefined;
  readonly in: string | undefined;
}

export interface KeptStream {
  readonly source: { readonly name: string };
  /** Undefined: its first bytes tell. */
  readonly format: StreamFormat | undefined;
  readonly poll: Poll | undefined;
  readonly createReader: LiveRunOptions['createReader'];
  /** Of a run that is given none. */
  readonly name: string;
}

/** @throws Fault `bad option` for options that do not go together */
export function keptOptions({ data, run, resume, journal }: KeptOptions): void {
  for (const [name, value] of Object.entries({ run, resume })) {
    if (value !== undefined && data === undefined) {
      throw new Fault('bad option', `--${name}: found it without --data, expected a data folder`);
    }
  }
  if (data !== undefined && journal !== undefined) {
    throw new Fault('bad option', '--journal: found it with --data, expected one of them: a recorded run has its own');
  }
}

/** Holds the data folder from here on. @throws Fault: also in one line when another process holds it */
export async function openKept(options: KeptOptions, stream: KeptStream): Promise<KeptService> {
  const report = (line: string) => void process.stderr.write(`${line}\n`);
  const data = options.data!;
  const library = new RunLibrary(data, { nowMs: () => systemClock.nowMs(), report });
  try {
    const before = runThatGoesOn(library.list(), options);
    const opening: OpenRecordingOptions = {
      library,
      data,
      // What comes on standard input comes now, as from a socket.
      source: keptSourceOf(stream, options.in !== undefined && options.in !== '-'),
      createReader: stream.createReader,
      clock: systemClock,
      report,
    };
    if (!before) {
      const opened = await beginRecording(opening, options.run ?? stream.name, await readInputs(options));
      return { library, opening, opened, isNew: true };
    }
    const given = options.plan === undefined ? undefined : await readInputs(options);
    return { library, opening, opened: await resumeRecording(opening, before.id, given), isNew: false };
  } catch (error) {
    await library.end();
    throw error;
  }
}

/** Gives the data folder back. A start that came to nothing leaves no run behind. */
export async function endKept({ library, opened, isNew }: KeptService): Promise<void> {
  try {
    if (isNew) await library.discardEmpty(opened.id);
  } finally {
    await library.end();
  }
}

function runThatGoesOn(runs: readonly ListedRun[], { data, run, resume }: KeptOptions): ListedRun | undefined {
  const meant = run === undefined ? (resume ? runs : []) : runs.filter(({ id, name }) => id === run || name === run);
  if (resume && meant.length === 0) {
    throw new Fault(
      'bad option',
      `--resume: found no run${run === undefined ? '' : ` "${run}"`} in ${data}, expected one`,
    );
  }
  // Newest first.
  return meant[0];
}

function keptSourceOf({ source, format, poll }: KeptStream, isRecorded: boolean): KeptSource {
  return {
    kind: 'source',
    name: source.name,
    format: format ?? null,
    arrival: isRecorded ? 'none' : 'clock',
    tag: 'offer',
    ...(poll ? { pollPayload: poll.payload } : {}),
  };
}
