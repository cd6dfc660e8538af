/** The traces in a browser, as lines of the table. */
import type { BenchLine } from './benchLine.ts';
import { run as runTraces } from './tracesBench.ts';

export async function run(): Promise<BenchLine[]> {
  const lines = await runTraces();
  return lines.map(({ name, ratio, goal, detail }) => ({
    what: name,
    ours: '',
    beside: 'plain uPlot, all points',
    found: ratio,
    unit: '×',
    goal,
    note: detail,
  }));
}
