/**
 * The state of a reader as plain data, to be kept beside the state of the pipeline, and put back into a reader that was made
 * in the same way. Everything that a reader knows lies in ordinary fields: numbers, texts, typed arrays, arrays and maps of
 * these, and parts of it that are such objects themselves. Functions stay those of the reader that is put right.
 */
import { invariant } from '../src/fault.ts';
import type { StreamReader } from './streamReader.ts';

/** Plain data, as `node:v8` writes it; typed arrays are those of the reader, so write it down before the next push. */
export type ReaderState = unknown;

type Fields = Record<string, unknown>;
const isTyped = (value: unknown): value is Uint8Array => ArrayBuffer.isView(value);

export function readerStateOf(reader: StreamReader): ReaderState {
  return plain(reader, new Map());
}

/** @param known what an object has become, so that a part that is held twice stays one. */
function plain(value: unknown, known: Map<object, unknown>): unknown {
  if (typeof value !== 'object' || value === null || isTyped(value)) return value;
  const before = known.get(value);
  if (before !== undefined) return before;
  if (value instanceof Map) {
    const map = new Map<unknown, unknown>();
    known.set(value, map);
    for (const [key, each] of value) map.set(key, plain(each, known));
    return map;
  }
  if (Array.isArray(value)) {
    const list: unknown[] = [];
    known.set(value, list);
    for (const each of value) list.push(plain(each, known));
    return list;
  }
  const fields: Fields = {};
  known.set(value, fields);
  for (const [name, each] of Object.entries(value)) {
    if (typeof each !== 'function') fields[name] = plain(each, known);
  }
  return fields;
}

/** @param reader fresh, made as the one that the state was taken from. */
export function putReaderState(reader: StreamReader, state: ReaderState): void {
  fill(reader as unknown as Fields, state as Fields);
}

function fill(target: Fields, state: Fields): void {
  for (const [name, mine] of Object.entries(target)) {
    if (typeof mine === 'function') continue;
    invariant(name in state, `the state of a reader has its ${name}`);
    const kept = state[name];
    if (!putInPlace(mine, kept)) target[name] = kept;
  }
}

/** What the parts of a reader hold in common stays in common: it is filled, not replaced. False: a bare value. */
function putInPlace(mine: unknown, kept: unknown): boolean {
  if (typeof mine !== 'object' || mine === null || typeof kept !== 'object' || kept === null) return false;
  if (isTyped(mine)) {
    invariant(isTyped(kept) && kept.length === mine.length, 'a column of a reader keeps its length');
    mine.set(kept);
  } else if (mine instanceof Map) {
    mine.clear();
    for (const [key, each] of kept as Map<unknown, unknown>) mine.set(key, each);
  } else if (Array.isArray(mine)) {
    mine.length = 0;
    for (const each of kept as unknown[]) mine.push(each);
  } else fill(mine as Fields, kept as Fields);
  return true;
}
