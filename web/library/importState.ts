/** A recorded stream on its way into the library, as the page sees it. */
import { type Signal, signal } from '@preact/signals';
import { z } from 'zod/mini';
import { type ImportState, importSchema, type Understood } from '../../src/library/librarySchema.ts';
import { askLibrary, orderLibrary, saysOf } from './askLibrary.ts';
import { askForRuns } from './libraryState.ts';

/** How often the service is asked how far it is, ms. */
const ASK_EVERY_MS = 300;

/**
 *   choosing ──▶ working (sending, reading) ──▶ understood ──"keep"──▶ working (keeping) ──▶ kept
 *       ▲             └──────────▶ refused ◀──────────────────────────────┘
 */
export type Importing =
  | { readonly kind: 'closed' }
  | { readonly kind: 'choosing' }
  | { readonly kind: 'working'; readonly what: string; readonly share: number }
  | { readonly kind: 'understood'; readonly id: string; readonly file: string; readonly understood: Understood }
  | { readonly kind: 'kept'; readonly run: string; readonly name: string }
  | { readonly kind: 'refused'; readonly why: string };
export const importing: Signal<Importing> = signal<Importing>({ kind: 'closed' });

export interface Chosen {
  readonly stream: File;
  readonly plan: File;
  readonly channels: File | null;
  readonly journal: File | null;
}

/** Of an import that is over, or given up; the answers of one that was given up are heard by nobody. */
let current: string | null = null;
let turn = 0;

const urlOf = (id: string, what: string): string => `/api/imports/${id}/${what}`;

export const beginImport = ({ stream, plan, channels, journal }: Chosen): Promise<void> =>
  begin(stream, '/api/imports/begin', async () => ({
    plan: await plan.text(),
    ...(channels ? { channels: await channels.text() } : {}),
    ...(journal ? { journal: await journal.text() } : {}),
  }));

/** The archive of a run: nothing but the file is asked for, and it is a run at once where all of it is as it was archived. */
export const beginArchive = (archive: File): Promise<void> => begin(archive, '/api/imports/archive', async () => ({}));

async function begin(stream: File, url: string, more: () => Promise<object>): Promise<void> {
  const mine = ++turn;
  importing.value = { kind: 'working', what: 'Sending', share: 0 };
  try {
    const begun = await orderLibrary(importSchema, url, {
      file: stream.name,
      bytes: stream.size,
      ...(await more()),
    });
    if (mine !== turn) return;
    current = begun.id;
    await send(stream, begun, mine);
    if (mine !== turn) return;
    await orderLibrary(importSchema, urlOf(begun.id, 'read'), {});
    await follow(begun.id, stream.name, mine);
  } catch (fault) {
    if (mine === turn) refuse(saysOf(fault));
  }
}

async function send(stream: File, { id, partBytes }: z.infer<typeof importSchema>, mine: number): Promise<void> {
  for (let at = 0; at < stream.size && mine === turn; at += partBytes) {
    await orderLibrary(importSchema, `${urlOf(id, 'part')}?at=${at}`, stream.slice(at, at + partBytes));
    const share = Math.min(1, (at + partBytes) / stream.size);
    if (mine === turn) importing.value = { kind: 'working', what: 'Sending', share };
  }
}

/** Asks until the service waits for somebody, or has ended. */
async function follow(id: string, name: string, mine: number): Promise<void> {
  for (;;) {
    const { import: state } = await askLibrary(importSchema, `/api/imports/${id}`);
    if (mine !== turn) return;
    if (told(state, id, name)) return;
    await new Promise((resolve) => setTimeout(resolve, ASK_EVERY_MS));
  }
}

/** @returns whether there is nothing more to ask for */
function told(state: ImportState, id: string, name: string): boolean {
  switch (state.state) {
    case 'receiving':
    case 'reading':
    case 'keeping': {
      const what = state.state === 'keeping' ? 'Keeping' : 'Reading';
      importing.value = { kind: 'working', what, share: state.of > 0 ? state.bytes / state.of : 0 };
      return false;
    }
    case 'understood':
      importing.value = { kind: 'understood', id, file: name, understood: state.understood };
      return true;
    case 'kept':
      importing.value = { kind: 'kept', run: state.run, name };
      drop();
      void askForRuns();
      return true;
    case 'refused':
      refuse(state.why);
      return true;
  }
}

export async function keepImport(id: string, name: string): Promise<void> {
  const mine = ++turn;
  const before = importing.peek();
  importing.value = { kind: 'working', what: 'Keeping', share: 0 };
  try {
    await orderLibrary(importSchema, urlOf(id, 'keep'), { name });
    await follow(id, name, mine);
  } catch (fault) {
    // A name that is refused can be put right; what was sent is still there.
    if (mine !== turn) return;
    importing.value = before;
    throw fault;
  }
}

/** What was sent is taken away. */
export function giveUpImport(): void {
  turn++;
  drop();
  importing.value = { kind: 'closed' };
}

function refuse(why: string): void {
  drop();
  importing.value = { kind: 'refused', why };
}

function drop(): void {
  const id = current;
  current = null;
  if (id === null) return;
  orderLibrary(z.object({ id: z.string() }), urlOf(id, 'drop'), {}).catch((fault: unknown) =>
    console.info(`the import was not taken away: ${saysOf(fault)}`),
  );
}
