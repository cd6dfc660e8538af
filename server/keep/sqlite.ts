/**
 * The embedded engine, loaded when a data folder is first opened: it is a native module, and neither `analyse` nor a service
 * that keeps nothing should wait for it.
 */
import { createRequire } from 'node:module';
import type Database from 'better-sqlite3';

const load = createRequire(import.meta.url);

/** The class `Database` of better-sqlite3. */
export const sqlite = (): typeof Database => load('better-sqlite3') as typeof Database;
