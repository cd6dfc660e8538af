/** Builds the benchmarks and their child programs into dist/bench, as the service itself is built: no loader at run time. */
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

/** In one folder, two below the root: paths that the sources form from their own place hold in the built files too. */
export default defineConfig({
  root: fileURLToPath(new URL('../..', import.meta.url)),
  publicDir: false,
  ssr: {
    noExternal: true,
    external: ['vite', 'playwright-core', '@sparticuz/chromium', 'better-sqlite3', 'pdfkit', 'dejavu-fonts-ttf'],
    target: 'node',
  },
  build: {
    ssr: true,
    outDir: 'dist/bench',
    emptyOutDir: true,
    target: 'node20',
    minify: false,
    rolldownOptions: {
      input: {
        bench: 'tests/bench/bench.ts',
        naiveReadMain: 'tests/bench/naiveReadMain.ts',
        socketsClientMain: 'tests/bench/socketsClientMain.ts',
        bareSocketsMain: 'tests/bench/bareSocketsMain.ts',
      },
      output: { entryFileNames: '[name].js', chunkFileNames: '[name].js' },
    },
  },
});
