/** The phase and joint of every row, as the record has them: numbers from 1, NaN for none. */
import { PHASE_NAMES } from '../phases.ts';
import type { RunRecord } from '../record/recordSchema.ts';
import type { SampleColumns } from '../replay/sampleColumns.ts';

export interface PhaseCodes {
  readonly phase: Float32Array;
  readonly joint: Float32Array;
}

export const codeIn = (names: readonly string[], name: string | null): number => {
  const at = name === null ? -1 : names.indexOf(name);
  return at < 0 ? Number.NaN : at + 1;
};

/** A row at the instant where two phases meet belongs to the later one. */
export function phaseCodes(
  { rows, sourceMs }: SampleColumns,
  phases: RunRecord['phases'],
  joints: readonly string[],
): PhaseCodes {
  const phase = new Float32Array(rows).fill(Number.NaN);
  const joint = new Float32Array(rows).fill(Number.NaN);
  let row = 0;
  phases.forEach(({ phase: name, joint: of, to }, i) => {
    const isLast = i === phases.length - 1;
    const endMs = isLast ? Infinity : Date.parse(to);
    const code = codeIn(PHASE_NAMES, name);
    const jointCode = codeIn(joints, of);
    for (; row < rows && sourceMs[row]! < endMs; row += 1) {
      phase[row] = code;
      joint[row] = jointCode;
    }
  });
  return { phase, joint };
}
