/** The pipeline as rxjs carries it beside the same fold in a plain loop. */
import { readFileSync } from 'node:fs';
import { from } from 'rxjs';
import { READERS } from '../../server/readers.ts';
import { pipeline } from '../../src/pipeline/pipeline.ts';
import { advance, createRun, type PipelineInput } from '../../src/pipeline/run.ts';
import { compileJob } from '../../src/plan/job.ts';
import { type BenchLine, inMs } from './benchLine.ts';
import { interleave } from './interleave.ts';
import { trip72h } from './trip72h.ts';

const ROUNDS = 15;

export async function run(): Promise<BenchLine[]> {
  const { plan, streamFile } = trip72h();
  const job = compileJob(plan);
  const inputs: PipelineInput[] = [];
  const reader = READERS.wits0(job.stream, (sample) => inputs.push({ kind: 'sample', sample }));
  reader.push(readFileSync(streamFile), Number.NaN);
  reader.end();
  const carried = () => {
    const state = createRun(job);
    from(inputs).pipe(pipeline(job, state)).subscribe();
    if (state.samples !== inputs.length) throw new Error(`${state.samples} samples went through`);
  };
  const looped = () => {
    const state = createRun(job);
    for (const input of inputs) advance(state, input);
    if (state.samples !== inputs.length) throw new Error(`${state.samples} samples went through`);
  };
  const { ours, beside, ratio } = await interleave(ROUNDS, carried, looped, 3);
  const nsEach = ((ours - beside) * 1e6) / inputs.length;
  return [
    {
      what: `pipeline, ${inputs.length} samples carried by rxjs`,
      ours: inMs(ours),
      beside: `${inMs(beside)} the same fold in a loop`,
      found: ratio,
      unit: '×',
      goal: null,
      note: `${nsEach.toFixed(0)} ns more a sample`,
    },
  ];
}
