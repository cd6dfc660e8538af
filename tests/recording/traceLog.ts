/** All that a trace store holds, as one text that differs whenever a bit of it does. */
import { createHash } from 'node:crypto';
import type { TraceStore } from '../../src/traces/traceStore.ts';

export function traceLog({ sourceMs, levels, dropped }: TraceStore): string {
  const hash = createHash('sha256');
  const add = (column: Float32Array | Float64Array | Uint8Array | Uint16Array, count: number) =>
    hash.update(new Uint8Array(column.buffer, column.byteOffset, count * column.BYTES_PER_ELEMENT));
  add(sourceMs, levels[0]!.count);
  for (const { count, min, max, breach, gaps, holes } of levels) {
    for (const column of [...min, ...max, breach, gaps, holes]) add(column, count);
  }
  return `${levels[0]!.count} rows, ${dropped} dropped, ${hash.digest('hex')}`;
}
