/**
 * Addresses of papers and of moments. `#papers=PART&of=WHICH` is a place among the papers, `#sheet=KEY` a joint's sheet, as
 * printed sheets name it; `#at=ISO&joint=NAME` a moment on the live screen. Of a recorded run each stands behind `#run=ID&`.
 */
import { type Signal, signal } from '@preact/signals';
import { recorded, runHash, runInHash } from '../recorded.ts';

/** Which part is looked at, and which thing in it; empty: none yet. */
export interface PapersAt {
  readonly part: string;
  readonly of: string;
}

export interface Moment {
  /** Null: the live run. */
  readonly run: string | null;
  readonly atMs: number;
  readonly joint: string | null;
}

export const JOINTS_PART = 'joints';
const JOINT_KEY = 'joint/';
const ISO = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)$/;

export const papersAt: Signal<PapersAt> = signal<PapersAt>({ part: JOINTS_PART, of: '' });

const parametersIn = (hash: string): URLSearchParams => new URLSearchParams(hash.replace(/^#/, ''));

/** Null: the address is of no paper. */
export function papersIn(hash: string): PapersAt | null {
  const parameters = parametersIn(hash);
  const sheet = parameters.get('sheet');
  if (sheet?.startsWith(JOINT_KEY)) return { part: JOINTS_PART, of: sheet.slice(JOINT_KEY.length) };
  const part = parameters.get('papers');
  return part === null ? null : { part: part || JOINTS_PART, of: parameters.get('of') ?? '' };
}

export function papersHash({ part, of }: PapersAt): string {
  const run = recorded.peek();
  const which = of === '' ? '' : `&of=${encodeURIComponent(of)}`;
  return `${run ? `${runHash(run.id)}&` : '#'}papers=${encodeURIComponent(part)}${which}`;
}

/** Null: the address is of no moment, or of none that a clock could show. */
export function momentIn(hash: string): Moment | null {
  const parameters = parametersIn(hash);
  // A plus that somebody wrote as it is stands for a space in addresses.
  const at = (parameters.get('at') ?? '').replace(' ', '+');
  const atMs = ISO.test(at) ? Date.parse(at) : Number.NaN;
  return Number.isNaN(atMs) ? null : { run: runInHash(hash), atMs, joint: parameters.get('joint') };
}
