/** Builds the torture and the program that it kills into dist/torture: what is killed starts as the service does, with no loader. */
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

export default defineConfig({
  root: fileURLToPath(new URL('../..', import.meta.url)),
  publicDir: false,
  ssr: { noExternal: true, external: ['better-sqlite3', 'pdfkit', 'dejavu-fonts-ttf'], target: 'node' },
  build: {
    ssr: true,
    outDir: 'dist/torture',
    emptyOutDir: true,
    target: 'node20',
    minify: false,
    rolldownOptions: {
      input: { torture: 'tests/torture/torture.ts', recordMain: 'tests/torture/recordMain.ts' },
      output: { entryFileNames: '[name].js', chunkFileNames: '[name].js' },
    },
  },
});
