/** The figures of the page are those of the printed sheets: one set of rules for both. */
export * from '../src/figures.ts';
