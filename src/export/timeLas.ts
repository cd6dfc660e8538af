/**
 * A run by time in LAS 2.0. The index is in seconds since the first sample, since dates and times of day are no index there;
 * the instant at which it is 0 stands in ~P. STEP is 0 where the samples are not all equally far apart.
 */
import { PHASE_NAMES } from '../phases.ts';
import type { SampleColumns } from '../replay/sampleColumns.ts';
import type { ExportInput } from './exportInput.ts';
import { asciiUnit } from './fileUnits.ts';
import { instantText } from './instantText.ts';
import { codeLegend, type LasColumn, lasFile } from './lasFile.ts';
import { timeColumns } from './timeTable.ts';

interface Index {
  readonly seconds: Float64Array;
  readonly decimals: number;
  readonly step: string;
}

/** Whole seconds where all are, else milliseconds, which is what an instant is known to. */
function indexOf({ rows, sourceMs }: SampleColumns): Index {
  const startMs = Math.round(sourceMs[0]!);
  const seconds = new Float64Array(rows);
  const stepMs = rows > 1 ? Math.round(sourceMs[1]!) - startMs : 0;
  let isWhole = true;
  let isEven = rows > 1;
  let beforeMs = startMs - stepMs;
  for (let row = 0; row < rows; row += 1) {
    const ms = Math.round(sourceMs[row]!);
    seconds[row] = (ms - startMs) / 1000;
    isWhole &&= (ms - startMs) % 1000 === 0;
    isEven &&= ms - beforeMs === stepMs;
    beforeMs = ms;
  }
  const decimals = isWhole ? 0 : 3;
  return { seconds, decimals, step: isEven ? (stepMs / 1000).toFixed(decimals) : '0' };
}

/** @param input of at least one sample */
export function* timeLas(input: ExportInput): Generator<string> {
  const { samples, job, joints, units } = input;
  const { seconds, decimals, step } = indexOf(samples);
  const columns = timeColumns(input, units);
  const startText = instantText(samples.sourceMs[0]!, job.stream.utcOffsetMs);
  const index: LasColumn = {
    mnemonic: 'TIME',
    unit: 'S',
    description: 'seconds since START',
    values: seconds,
    text: (value) => value.toFixed(decimals),
  };
  yield* lasFile({
    columns: [
      index,
      ...columns.map(({ title, mnemonic, unit, values, text }) => {
        return { mnemonic, unit: unit === null ? '' : asciiUnit(unit), description: title, values, text };
      }),
    ],
    rows: samples.rows,
    step,
    well: job.well,
    rig: job.rig,
    date: startText.slice(0, 10).replaceAll('-', ' '),
    parameters: [
      { mnemonic: 'START', data: startText, description: 'instant at which TIME is 0' },
      { mnemonic: 'RUN', data: input.name, description: 'run' },
      ...codeLegend('PHASE', PHASE_NAMES),
      ...codeLegend('JOINT', joints),
    ],
  });
}
