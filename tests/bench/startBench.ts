/** From spawn to listening, beside the barest HTTP server that node can be told to be; and the size after the start. */
import { spawn } from 'node:child_process';
import { type BenchLine, inMb, inMs } from './benchLine.ts';
import { interleave, median } from './interleave.ts';
import { sleep } from './rigFeed.ts';
import { firstLine, residentBytes, startServe, stopChild } from './serveProcess.ts';
import { trip72h } from './trip72h.ts';

const ROUNDS = 11;
const SIZE_ROUNDS = 3;
const SETTLE_MS = 1000;
const BARE =
  "const s=require('node:http').createServer((q,r)=>r.end());s.listen(0,'127.0.0.1',()=>console.log(s.address().port))";

const started: { stop(): Promise<void> }[] = [];

/** Stopping is not part of the time: it is done when all has been measured. */
async function bare(): Promise<void> {
  const child = spawn(process.execPath, ['-e', BARE], { stdio: ['ignore', 'pipe', 'inherit'] });
  await firstLine(child, () => '');
  started.push({ stop: () => stopChild(child) });
}

export async function run(): Promise<BenchLine[]> {
  const args = ['--plan', trip72h().planFile, '--listen', '0'];
  try {
    const { ours, beside, ratio } = await interleave(
      ROUNDS,
      async () => {
        started.push(await startServe(args));
      },
      bare,
    );
    const sizes: number[] = [];
    for (let i = 0; i < SIZE_ROUNDS; i++) {
      const service = await startServe(args);
      started.push(service);
      await sleep(SETTLE_MS);
      sizes.push(residentBytes(service.child));
    }
    const what = 'serve, spawn to listening';
    return [
      { what, ours: inMs(ours), beside: `${inMs(beside)} bare node`, found: ratio, unit: '×', goal: 3.5 },
      {
        what: 'serve, resident size after the start',
        ours: inMb(median(sizes)),
        beside: '',
        found: median(sizes) / 1e6,
        unit: 'MB',
        goal: 100,
      },
    ];
  } finally {
    await Promise.all(started.map((each) => each.stop()));
  }
}
