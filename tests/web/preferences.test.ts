import { expect, test } from 'vitest';
import { type Keep, preference } from '../../web/preferences.ts';

function shelf(kept: Record<string, string> = {}): Keep & { readonly kept: Record<string, string> } {
  return {
    kept,
    getItem: (key) => kept[key] ?? null,
    setItem: (key, value) => {
      kept[key] = value;
    },
  };
}

const UNITS = ['metric', 'field'] as const;

test('a preference is kept when it changes, and found again', () => {
  const keep = shelf();
  const units = preference<(typeof UNITS)[number]>('units', UNITS, 'metric', keep);
  expect(keep.kept).toEqual({});
  units.value = 'field';
  expect(keep.kept).toEqual({ 'jointwise.units': 'field' });
  expect(preference('units', UNITS, 'metric', keep).value).toBe('field');
});

test('what lies there and is none of the choices is not believed', () => {
  expect(preference('units', UNITS, 'metric', shelf({ 'jointwise.units': 'furlongs' })).value).toBe('metric');
});

test('a browser that keeps nothing costs the preference, never the page', () => {
  const full: Keep = {
    getItem: () => null,
    setItem: () => {
      throw new Error('quota exceeded');
    },
  };
  const units = preference<(typeof UNITS)[number]>('units', UNITS, 'metric', full);
  units.value = 'field';
  expect(units.value).toBe('field');
  expect(preference('units', UNITS, 'field', null).value).toBe('field');
});
