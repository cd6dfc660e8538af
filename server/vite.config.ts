/** Builds the service and the command line: dist/jointwise.js, and beside it what each verb loads when it is called. */
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { brotliCompressSync, gzipSync } from 'node:zlib';
import { defineConfig, type Plugin } from 'vite';

const root = fileURLToPath(new URL('..', import.meta.url));
const page = join(root, 'dist/web');
const COMPRESSED = /\.(html|js|css|svg)$/;

/** The page's files once more, compressed, so that the service compresses nothing while it runs. */
const compressPage: Plugin = {
  name: 'compress-page',
  closeBundle() {
    if (!existsSync(page)) return;
    for (const name of readdirSync(page, { recursive: true, encoding: 'utf8' })) {
      if (!COMPRESSED.test(name)) continue;
      const bytes = readFileSync(join(page, name));
      writeFileSync(join(page, `${name}.br`), brotliCompressSync(bytes));
      writeFileSync(join(page, `${name}.gz`), gzipSync(bytes, { level: 9 }));
    }
  },
};

export default defineConfig({
  root,
  publicDir: false,
  plugins: [compressPage],
  // A database that is a library of the machine cannot be put into one file with the rest; what draws a PDF reads its fonts from
  // packages, and is loaded when a report is asked for.
  ssr: { noExternal: true, external: ['better-sqlite3', 'pdfkit', 'dejavu-fonts-ttf'], target: 'node' },
  build: {
    ssr: 'server/cli/main.ts',
    outDir: 'dist',
    // The page has been built into dist/web before.
    emptyOutDir: false,
    target: 'node20',
    rolldownOptions: {
      output: {
        entryFileNames: 'jointwise.js',
        // Verbs are imported when called: what only another one needs is not even read.
        chunkFileNames: '[name].js',
        // Half the bytes to parse at every start; names stay, so that a stack trace can be read.
        minify: { compress: true, mangle: false, codegen: { removeWhitespace: true } },
      },
    },
  },
});
