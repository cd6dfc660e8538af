import { basename, extname } from 'node:path';
import { fileURLToPath } from 'node:url';
import { defineConfig, type Plugin } from 'vite';

/**
 * `new URL('….ts', import.meta.url)` of a worker: a chunk of the page's own graph, so that what both ends need is there
 * once. Left to itself the bundler gives a worker copies of its own.
 */
const workerChunk: Plugin = {
  name: 'worker-chunk',
  enforce: 'pre',
  apply: 'build',
  transform: {
    filter: { code: /new Worker\(/ },
    async handler(code, importer) {
      const found = /new URL\('([^']+)', import\.meta\.url\)/.exec(code);
      const resolved = found && (await this.resolve(found[1]!, importer));
      if (!resolved) return null;
      const name = basename(resolved.id, extname(resolved.id));
      const ref = this.emitFile({ type: 'chunk', id: resolved.id, name });
      return { code: code.replace(found[0], `import.meta.ROLLUP_FILE_URL_${ref}`), map: null };
    },
  },
};

/** The page: hashed files of its own in dist/web, nothing inlined, so that the service's strict policy holds. */
export default defineConfig({
  root: fileURLToPath(new URL('.', import.meta.url)),
  base: '/',
  plugins: [workerChunk],
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  build: {
    outDir: fileURLToPath(new URL('../dist/web', import.meta.url)),
    emptyOutDir: true,
    target: 'es2022',
    sourcemap: false,
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
  },
});
