/**
 * Records frames one after the other until it is killed: `recordMain DATA RUN SEED`. Says `open N` (the last frame that it
 * found), then `a N` for each frame that is on the disk. A sender that keeps what was not acknowledged sends it again: the next
 * frame is always the one behind the last that is there.
 */
import { writeSync } from 'node:fs';
import { seededRandom } from '../../ingest/simulator/random.ts';
import { INDEX_EVERY } from '../../server/keep/runIndex.ts';
import { RunLibrary } from '../../server/keep/runLibrary.ts';
import { frameNumber, tortureFrame } from './tortureFrame.ts';

const [data = '', id = '', seed = '1'] = process.argv.slice(2);
const say = (line: string) => writeSync(1, `${line}\n`);
const nowMs = () => Date.now();
const random = seededRandom(Number(seed));

const library = new RunLibrary(data, { nowMs, report: (line) => say(`r ${line}`) });
const run = await library.reopen(id);
const reader = library.read(id);
let last = 0;
// From a point further back: behind the last there may be marks alone.
for (const item of reader.read(reader.placeOf(run.head.number - INDEX_EVERY), Infinity)) {
  if (item.kind === 'record' && item.record.kind === 'bytes') last = frameNumber(item.record.bytes);
}
reader.close();
say(`open ${last}`);

for (;;) {
  // Alone, or several for one commit.
  const batch = Array.from({ length: random.pick([1, 1, 1, 4, 16]) }, async () => {
    const n = ++last;
    const appended = await run.record(tortureFrame(n), nowMs());
    if (appended.kind !== 'recorded') throw new Error(`frame ${n}: ${appended.reason}`);
    say(`a ${n}`);
  });
  await Promise.all(batch);
  await new Promise((soon) => setTimeout(soon, random.whole(0, 2)));
}
