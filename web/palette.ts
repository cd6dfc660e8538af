/**
 * Every colour of the page, once. Grey base: a colour with a hue says that something is not as it should be, or marks
 * what a viewer chose. `CONTRASTS` lists which colour is read on which, and how far apart they must be (WCAG 2.2:
 * 1.4.3 text 4.5, 1.4.11 graphics 3.0). Colours are written as custom properties, `--` and the name.
 */
export const COLOUR_NAMES = [
  'page',
  'panel',
  'well',
  'line',
  'edge',
  'ink',
  'inkSoft',
  'solid',
  'onSolid',
  'steel',
  'steelSoft',
  'choice',
  'high',
  'onHigh',
  'medium',
  'onMedium',
  'low',
  'onLow',
  'unproven',
  'highWash',
  'mediumWash',
] as const;
export type ColourName = (typeof COLOUR_NAMES)[number];
export type Palette = Readonly<Record<ColourName, string>>;

const light: Palette = {
  page: '#e4e6e8',
  panel: '#f3f4f5',
  well: '#ffffff',
  line: '#c9cdd1',
  edge: '#747b82',
  ink: '#14181c',
  inkSoft: '#4a5157',
  solid: '#2b3238',
  onSolid: '#ffffff',
  steel: '#56606a',
  steelSoft: '#b4bac0',
  choice: '#0b5cad',
  high: '#800c04',
  onHigh: '#ffffff',
  medium: '#86600a',
  onMedium: '#ffffff',
  low: '#2c6690',
  onLow: '#ffffff',
  unproven: '#6a3fb5',
  highWash: '#f9dfd9',
  mediumWash: '#f6e6c8',
};

const dark: Palette = {
  page: '#0e1114',
  panel: '#181c20',
  well: '#101316',
  line: '#31373d',
  edge: '#7f8891',
  ink: '#eceff1',
  inkSoft: '#a9b1b8',
  solid: '#d4dade',
  onSolid: '#14181c',
  steel: '#9aa5af',
  steelSoft: '#4b545c',
  choice: '#6cb2f5',
  high: '#f35d57',
  onHigh: '#1d0502',
  medium: '#f6c312',
  onMedium: '#1c1300',
  low: '#84bde6',
  onLow: '#06141f',
  unproven: '#b18fee',
  highWash: '#3d1711',
  mediumWash: '#352706',
};

export const PALETTES: Readonly<Record<'light' | 'dark', Palette>> = { light, dark };

/** [what is read, on what, least contrast]: text 4.5, graphics 3. */
export const CONTRASTS: readonly (readonly [ColourName, ColourName, number])[] = [
  ...(['page', 'panel', 'well'] as const).flatMap((ground) => [
    ['ink', ground, 4.5] as const,
    ['inkSoft', ground, 4.5] as const,
    ['high', ground, 4.5] as const,
    ['medium', ground, 4.5] as const,
    ['low', ground, 4.5] as const,
    ['choice', ground, 4.5] as const,
    ['edge', ground, 3] as const,
    ['steel', ground, 3] as const,
    ['solid', ground, 3] as const,
    ['unproven', ground, 3] as const,
  ]),
  ['onSolid', 'solid', 4.5],
  ['onHigh', 'high', 4.5],
  ['onMedium', 'medium', 4.5],
  ['onLow', 'low', 4.5],
  ['ink', 'highWash', 4.5],
  ['inkSoft', 'highWash', 4.5],
  ['high', 'highWash', 4.5],
  ['ink', 'mediumWash', 4.5],
  ['inkSoft', 'mediumWash', 4.5],
  ['medium', 'mediumWash', 4.5],
];

/** Colours that stand side by side and mean different things: they must stay apart for every eye. */
export const TOLD_APART: readonly ColourName[] = ['solid', 'high', 'medium', 'unproven'];
