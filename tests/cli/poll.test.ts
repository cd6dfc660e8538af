/** Polling from the command line, on a real link: what reaches the rig, and what becomes of its echo. */
import { connect } from 'node:net';
import { afterEach, expect, test } from 'vitest';
import { Rig } from '../ingest/rig.ts';
import { type Program, start } from '../support/program.ts';

const PLAN = 'replay-data/demo-plan.json';
const FRAMES = 10;
/** Frames of the rig, a second apart. */
const frame = (i: number): string =>
  `&&\r\n0105310304\r\n0106120${String(100 + i).padStart(3, '0')}\r\n0108${2400 + i}\r\n!!\r\n`;

const closers: (() => unknown)[] = [];
afterEach(async () => {
  for (const close of closers.splice(0).reverse()) await close();
});

async function rigOf(...options: string[]): Promise<{ rig: Rig; program: Program; url: string }> {
  const rig = await Rig.listen();
  const args = ['serve', '--plan', PLAN, '--connect', `127.0.0.1:${rig.port}`, '--port', '0', ...options];
  const program = start(args);
  closers.push(
    () => rig.close(),
    async () => {
      program.child.kill('SIGTERM');
      await program.ended;
    },
  );
  const url = (await program.firstLine).replace('jointwise: ', '');
  await rig.until((each) => each.sockets.length === 1);
  return { rig, program, url };
}

interface Counts {
  readonly frames: number;
  readonly samples: number;
  readonly rejected: Readonly<Record<string, number>>;
}
const countsAt = async (url: string): Promise<Counts> => (await fetch(`${url}api/ingest`)).json() as Promise<Counts>;

/** The rig sends its frames, each behind what it heard, as a full-duplex line does. */
async function sendWithEcho(rig: Rig, echo: string): Promise<void> {
  for (let i = 0; i < FRAMES; i++) rig.last.write(echo + frame(i));
  await new Promise<void>((resolve) => rig.last.end(resolve));
}

test('without --poll nothing is ever sent to the rig, whatever it says', async () => {
  const { rig, program, url } = await rigOf();
  await sendWithEcho(rig, '');
  await expect.poll(async () => (await countsAt(url)).samples).toBe(FRAMES);
  program.child.kill('SIGTERM');
  await program.ended;
  expect(rig.received).toBe('');
});

test('with --poll the edited request arrives as it is, and its echo is no sample and is counted as such', async () => {
  const request = '&&\r\n1984floor\r\n0108-8888\r\n!!\r\n';
  const { rig, url } = await rigOf('--poll', '60', '--poll-payload', '1984floor', '--poll-payload', '0108-8888');
  await rig.until((each) => each.received.length >= request.length);
  expect(rig.received).toBe(request);
  await sendWithEcho(rig, rig.received);
  await expect.poll(async () => (await countsAt(url)).samples).toBe(FRAMES);
  expect(await countsAt(url)).toMatchObject({
    frames: 2 * FRAMES,
    rejected: { 'echo of our poll': FRAMES },
  });
});

test('with --poll alone the usual request is sent; a rig that connects to us gets it too', async () => {
  const program = start(['serve', '--plan', PLAN, '--listen', '0', '--port', '0', '--poll', '60']);
  closers.push(async () => {
    program.child.kill('SIGTERM');
    await program.ended;
  });
  const url = (await program.firstLine).replace('jointwise: ', '');
  const { linkDetail } = (await (await fetch(`${url}api/ingest`)).json()) as { linkDetail: string };
  const socket = connect(Number(/^port (\d+)$/.exec(linkDetail)![1]), '127.0.0.1');
  closers.push(() => socket.destroy());
  const heard = await new Promise<string>((resolve) => socket.once('data', (data) => resolve(String(data))));
  expect(heard).toBe('&&\r\n0111-9999\r\n!!\r\n');
});
