/**
 * A copy of a run that goes its own way from here on. A run is plain data, changed in place; only the job in it is never
 * changed, and is shared.
 */
import type { Run } from '../pipeline/run.ts';

export function copyRun(run: Run): Run {
  const copy: Run = { ...run };
  const fields = copy as unknown as Record<string, unknown>;
  for (const key in fields) if (key !== 'job') fields[key] = copyOf(fields[key]);
  return copy;
}

/** Objects are spread first, so that a copy has the shape that the engine has made the pipeline fast for. */
function copyOf(value: unknown): unknown {
  if (typeof value !== 'object' || value === null) return value;
  if (Array.isArray(value)) {
    const copy = value.slice();
    // Long lists hold numbers nearly always; the first item tells.
    if (typeof copy[0] === 'number' && typeof copy[copy.length - 1] === 'number') {
      if (copy.every((item) => typeof item === 'number')) return copy;
    }
    for (let i = 0; i < copy.length; i += 1) copy[i] = copyOf(copy[i]);
    return copy;
  }
  const copy: Record<string, unknown> = { ...value };
  for (const key in copy) {
    const item = copy[key];
    if (typeof item === 'object' && item !== null) copy[key] = copyOf(item);
  }
  return copy;
}
