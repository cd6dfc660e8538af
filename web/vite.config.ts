import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

/** The page: hashed files of its own in dist/web, nothing inlined, so that the service's strict policy holds. */
export default defineConfig({
  root: fileURLToPath(new URL('.', import.meta.url)),
  base: '/',
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  build: {
    outDir: fileURLToPath(new URL('../dist/web', import.meta.url)),
    emptyOutDir: true,
    target: 'es2022',
    sourcemap: false,
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rolldownOptions: {
      output: {
        // How schemas are to be read is said in the file that reads them: before any is made, however the rest is cut up.
        codeSplitting: { groups: [{ name: 'schemas', test: /node_modules\/zod\/|schemasWalked/ }] },
      },
    },
  },
});
