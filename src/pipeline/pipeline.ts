/**
 * The pipeline as a stream: inputs in, the run out after each. One hop: the rules know nothing of rxjs, which only carries
 * them, the same for live, replay, command line and browser.
 */
import { map, type OperatorFunction } from 'rxjs';
import type { Job } from '../plan/job.ts';
import { advance, createRun, type PipelineInput, type Run } from './run.ts';

/** Emits the one run, changed in place, after every input. */
export function pipeline(job: Job, run: Run = createRun(job)): OperatorFunction<PipelineInput, Run> {
  return map((input) => {
    advance(run, input);
    return run;
  });
}
