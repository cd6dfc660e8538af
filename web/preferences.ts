/** What one viewer likes, kept in this browser only. What is kept is outside data: it is checked when read. */
import { effect, type Signal, signal } from '@preact/signals';
import type { UnitSystem } from '../src/units.ts';

export const THEME_CHOICES = ['system', 'light', 'dark'] as const;
export type ThemeChoice = (typeof THEME_CHOICES)[number];

/** Where the preferences lie; a browser that refuses storage, or Node, has none. */
export interface Keep {
  getItem(key: string): string | null;
  setItem(key: string, value: string): void;
}

const PREFIX = 'jointwise.';

/** A browser set to block storage throws on the mere mention of it: then nothing is kept. */
function browserKeep(): Keep | null {
  try {
    return typeof localStorage === 'undefined' ? null : localStorage;
  } catch (fault) {
    console.info(`preferences are not kept: ${String(fault)}`);
    return null;
  }
}

/** Full or refused storage costs the preference, never the page. */
function write(keep: Keep, key: string, value: string): void {
  try {
    keep.setItem(PREFIX + key, value);
  } catch (fault) {
    console.info(`preference ${key} is not kept: ${String(fault)}`);
  }
}

/**
 * A signal that starts from what was kept, when that is one of `allowed`, else from `otherwise`, and keeps each change.
 */
export function preference<T extends string>(
  key: string,
  allowed: readonly T[],
  otherwise: T,
  keep: Keep | null = browserKeep(),
): Signal<T> {
  const kept = keep?.getItem(PREFIX + key) ?? null;
  const found = allowed.find((choice) => choice === kept);
  const chosen = signal<T>(found ?? otherwise);
  let first = true;
  effect(() => {
    const value = chosen.value;
    if (!first && keep) write(keep, key, value);
    first = false;
  });
  return chosen;
}

/** As `preference`, for words of the viewer's own; what was kept is cut to `mostChars`. */
export function wordPreference(key: string, mostChars: number, keep: Keep | null = browserKeep()): Signal<string> {
  const word = signal((keep?.getItem(PREFIX + key) ?? '').slice(0, mostChars));
  let first = true;
  effect(() => {
    const value = word.value;
    if (!first && keep) write(keep, key, value);
    first = false;
  });
  return word;
}

const UNIT_SYSTEMS: readonly UnitSystem[] = ['metric', 'field'];
export const unitSystem: Signal<UnitSystem> = preference('units', UNIT_SYSTEMS, 'metric');
const SWITCH = ['on', 'off'] as const;
/** Single-key shortcuts can be turned off (WCAG 2.2, 2.1.4). */
export const shortcuts: Signal<'on' | 'off'> = preference('shortcuts', SWITCH, 'on');
export const themeChoice: Signal<ThemeChoice> = preference('theme', THEME_CHOICES, 'system');
/** Who enters into the journal from this browser. */
export const viewerName: Signal<string> = wordPreference('name', 100);
