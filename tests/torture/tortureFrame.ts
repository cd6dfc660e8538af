/** The frame of a number: the same in the program that records and in the one that checks. */
import { seededRandom } from '../../ingest/simulator/random.ts';

export function tortureFrame(n: number): Buffer {
  const random = seededRandom(n);
  const items = Array.from(
    { length: random.whole(1, 20) },
    (_, i) => `01${String(i + 8).padStart(2, '0')}${random.between(-9999, 9999).toFixed(2)}`,
  );
  return Buffer.from(`&&\r\n0104${n}\r\n${items.join('\r\n')}\r\n!!\r\n`);
}

/** The number of a frame as it stands in it. */
export const frameNumber = (bytes: Uint8Array): number =>
  Number(/^0104(\d+)/m.exec(Buffer.from(bytes).toString('latin1'))?.[1]);
