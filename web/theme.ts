/** The palette of the theme in force, as custom properties of the page. */
import { effect } from '@preact/signals';
import { COLOUR_NAMES, PALETTES } from './palette.ts';
import { theme } from './state.ts';

const propertyOf = (name: string): string => `--${name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}`;

export function applyTheme(): void {
  effect(() => {
    const root = document.documentElement;
    const palette = PALETTES[theme.value];
    for (const name of COLOUR_NAMES) root.style.setProperty(propertyOf(name), palette[name]);
    root.dataset.theme = theme.value;
    root.style.colorScheme = theme.value;
  });
}
