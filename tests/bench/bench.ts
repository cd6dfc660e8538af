/**
 * `npm run bench [name…]`: every benchmark, or those named; a table on standard output and test-results/bench.json. Ratios
 * are of one run on one machine: compare those, not the milliseconds.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { fileURLToPath } from 'node:url';
import { type BenchLine, benchTable, isMet } from './benchLine.ts';

type Run = () => Promise<BenchLine[]>;

/** Each is loaded when it is run, so that none weighs on another. */
const BENCHMARKS: Readonly<Record<string, () => Promise<{ run: Run }>>> = {
  analyse: () => import('./analyseBench.ts'),
  decoder: () => import('./decoderBench.ts'),
  pipeline: () => import('./pipelineBench.ts'),
  replay: () => import('./replayBench.ts'),
  export: () => import('./exportBench.ts'),
  check: () => import('./checkBench.ts'),
  report: () => import('./reportBench.ts'),
  keep: () => import('./keepBench.ts'),
  latency: () => import('./latencyBench.ts'),
  sockets: () => import('./socketsBench.ts'),
  traces: () => import('./tracesLines.ts'),
  page: () => import('./pageBench.ts'),
  start: () => import('./startBench.ts'),
  restart: () => import('./restartBench.ts'),
  memory: () => import('./memoryBench.ts'),
  heap: () => import('./heapBench.ts'),
};

const results = fileURLToPath(new URL('../../test-results/', import.meta.url));

function named(args: readonly string[]): string[] {
  const unknown = args.find((name) => !Object.hasOwn(BENCHMARKS, name));
  if (unknown === undefined) return args.length > 0 ? [...args] : Object.keys(BENCHMARKS);
  process.stderr.write(`bench: found "${unknown}", expected any of ${Object.keys(BENCHMARKS).join(', ')}\n`);
  process.exit(2);
}

function write(benchmarks: Record<string, readonly BenchLine[]>): void {
  const processors = cpus();
  const machine = { node: process.version, processor: processors[0]?.model ?? '', cores: processors.length };
  const lines = Object.fromEntries(
    Object.entries(benchmarks).map(([name, of]) => [name, of.map((line) => ({ ...line, met: isMet(line) }))]),
  );
  mkdirSync(results, { recursive: true });
  const report = { at: new Date().toISOString(), machine, benchmarks: lines };
  writeFileSync(`${results}bench.json`, `${JSON.stringify(report, null, 2)}\n`);
}

const done: Record<string, readonly BenchLine[]> = {};
for (const name of named(process.argv.slice(2))) {
  const from = performance.now();
  try {
    const { run } = await BENCHMARKS[name]!();
    done[name] = await run();
    process.stderr.write(`${name}: ${((performance.now() - from) / 1000).toFixed(0)} s\n`);
  } catch (error) {
    process.stderr.write(`${name} failed: ${error instanceof Error ? error.stack : error}\n`);
    process.exitCode = 1;
  }
}
process.stdout.write(benchTable(Object.values(done).flat()));
write(done);
