/** What is known of the library, and what is being done with it. */
import { batch, type Signal, signal } from '@preact/signals';
import type { z } from 'zod/mini';
import {
  type ListedRunState,
  type Runs,
  runNamedSchema,
  runsSchema,
  type Verified,
  verifiedSchema,
} from '../../src/library/librarySchema.ts';
import { liveRun } from '../recorded.ts';
import { askLibrary, orderLibrary, saysOf } from './askLibrary.ts';

export type Library =
  | { readonly kind: 'asking' }
  | { readonly kind: 'failed'; readonly why: string }
  | { readonly kind: 'here'; readonly runs: Runs };
export const library: Signal<Library> = signal<Library>({ kind: 'asking' });

/** A run on its way to the screen. */
export type Opening =
  | { readonly kind: 'none' }
  | { readonly kind: 'opening'; readonly said: string }
  | { readonly kind: 'refused'; readonly said: string; readonly why: string };
export const opening: Signal<Opening> = signal<Opening>({ kind: 'none' });

/** What is being done with a run, or came of it. */
export type Doing =
  | { readonly kind: 'none' }
  | { readonly kind: 'doing'; readonly what: string }
  | { readonly kind: 'done'; readonly what: string }
  | { readonly kind: 'verified'; readonly name: string; readonly found: Verified }
  | { readonly kind: 'refused'; readonly what: string; readonly why: string };
export const doing: Signal<Doing> = signal<Doing>({ kind: 'none' });

/** The run whose name is being written, or which is to be closed or reopened once that has been confirmed. */
export type Asking =
  | { readonly kind: 'none' }
  | { readonly kind: 'start' }
  | { readonly kind: 'name' | 'close' | 'reopen'; readonly run: ListedRunState };
export const asking: Signal<Asking> = signal<Asking>({ kind: 'none' });

export async function askForRuns(): Promise<void> {
  try {
    const runs = await askLibrary(runsSchema, '/api/runs');
    if (runs.library === 'read') liveRun.value = 'none';
    library.value = { kind: 'here', runs };
  } catch (fault) {
    library.value = { kind: 'failed', why: saysOf(fault) };
  }
}

/** One thing after another. @param what in words: "Closing trip 4" */
async function order<T>(
  what: string,
  schema: z.ZodMiniType<T>,
  url: string,
  body: object,
  done: (answer: T) => Doing,
): Promise<void> {
  if (doing.peek().kind === 'doing') return;
  doing.value = { kind: 'doing', what };
  const came = await orderLibrary(schema, url, body).then(done, (fault: unknown): Doing => {
    return { kind: 'refused', what, why: saysOf(fault) };
  });
  // The list says so when it is told.
  await askForRuns();
  batch(() => {
    doing.value = came;
    if (came.kind !== 'refused') asking.value = { kind: 'none' };
  });
}

const urlOf = ({ id }: Pick<ListedRunState, 'id'>, what: string): string =>
  `/api/runs/${encodeURIComponent(id)}/${what}`;
const done = (what: string) => (): Doing => ({ kind: 'done', what });

export const startRun = (name: string): Promise<void> =>
  order(`Beginning ${name}`, runNamedSchema, '/api/runs/start', { name }, done(`${name} is being recorded.`));

export const nameRun = (run: ListedRunState, name: string): Promise<void> =>
  order(`Naming ${run.name}`, runNamedSchema, urlOf(run, 'name'), { name }, done(`It is called ${name}.`));

export const closeRun = (run: ListedRunState): Promise<void> =>
  order(`Closing ${run.name}`, runNamedSchema, urlOf(run, 'close'), {}, done(`${run.name} is closed.`));

export const reopenRun = (run: ListedRunState): Promise<void> =>
  order(`Reopening ${run.name}`, runNamedSchema, urlOf(run, 'reopen'), {}, done(`${run.name} is recorded again.`));

export const verifyRun = (run: ListedRunState): Promise<void> =>
  order(`Verifying ${run.name}`, verifiedSchema, urlOf(run, 'verify'), {}, (found) => ({
    kind: 'verified',
    name: run.name,
    found,
  }));
