/** Archives that mean harm: refused in one line before anything is unpacked, and nothing is touched outside. */
import { existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { deflateRawSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { ARCHIVE_LIMITS } from '../../server/archive/archiveManifest.ts';
import { OpenArchive } from '../../server/archive/openArchive.ts';
import { unpackRun } from '../../server/archive/unpackRun.ts';
import { writeArchive } from '../../server/archive/writeArchive.ts';
import { runFolder } from '../../server/keep/runLibrary.ts';
import { Fault } from '../../src/fault.ts';
import { libraryWithDemo, readZip, writeZip, type ZipEntry, zipBytes } from './archivedRun.ts';

let base: string;
let entries: ZipEntry[];
beforeAll(async () => {
  base = mkdtempSync(join(tmpdir(), 'jointwise-hostile-'));
  const data = join(base, 'made');
  const id = await libraryWithDemo(data);
  const file = join(base, 'run.zip');
  await writeArchive({ folder: runFolder(data, id), id, out: file, read: () => {} });
  entries = await readZip(file);
  rmSync(data, { recursive: true });
}, 60_000);
afterAll(() => rmSync(base, { recursive: true, force: true }));

let count = 0;
/** The fault of unpacking it; nothing is left of it anywhere below. */
async function refusalOf(file: string): Promise<Fault> {
  const around = join(base, `case-${count++}`);
  const folder = join(around, 'deep', 'data');
  const before = readdirSync(base);
  try {
    const archive = await OpenArchive.open(file);
    try {
      await unpackRun(archive, folder, () => {});
    } finally {
      archive.close();
    }
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    const left = existsSync(around) ? readdirSync(around, { recursive: true }).map(String) : [];
    expect(left.filter((name) => name !== 'deep' && name !== join('deep', 'data'))).toEqual([]);
    expect(readdirSync(base).filter((name) => !before.includes(name) && !name.startsWith('case-'))).toEqual([]);
    return error;
  }
  throw new Error('it was unpacked');
}

async function hostile(more: readonly ZipEntry[]): Promise<string> {
  return writeZip(join(base, `hostile-${count++}.zip`), [...entries, ...more]);
}

const BYTES = Buffer.from('harm');

describe('names', () => {
  test.each([
    '../outside',
    '../../../../../../tmp/outside',
    '..\\outside',
    'raw/../../outside',
    'raw/raw-00001.log/../../../x',
    '/etc/outside',
    '\\\\server\\share',
    'C:\\outside',
    'C:outside',
    '..%2foutside',
    '%252e%252e/outside',
    'raw/raw-00002.log\0.txt',
    'CON',
    'raw/NUL',
    'plans/aux.json',
    'raw/',
    '.',
    '..',
    '',
    'run.db',
    'seal.json',
    'manifest.json ',
    'MANIFEST.JSON',
    'raw/raw-00001.log ',
    `raw/${'x'.repeat(300)}`,
    '\u202egpj.exe',
    '__proto__',
  ])('%j is refused', async (name) => {
    const { code, message } = await refusalOf(await hostile([{ name, bytes: BYTES }]));
    expect(code).toBe('file unreadable');
    expect(message).toMatch(/^[^\n]{1,400}$/);
    expect(message).toMatch(/expected the archive of a run$/);
  });

  test('one that stands twice is refused', async () => {
    const { message } = await refusalOf(await hostile([{ name: 'record.json', bytes: BYTES }]));
    expect(message).toContain('found "record.json" twice');
  });

  test('a link is refused', async () => {
    const others = entries.filter(({ name }) => name !== 'record.json');
    const link = { name: 'record.json', bytes: Buffer.from('/etc/passwd'), mode: 0o120777 };
    const file = await writeZip(join(base, 'link.zip'), [...others, link]);
    expect((await refusalOf(file)).message).toContain('found the link "record.json"');
  });

  test('an id in the manifest that leads out is refused', async () => {
    const manifest = JSON.parse(entries.at(-1)!.bytes.toString()) as { run: { id: string } };
    for (const id of ['../../outside', '/tmp/outside', 'a/b', '', 'A', '__proto__', 'x'.repeat(65)]) {
      const bytes = Buffer.from(JSON.stringify({ ...manifest, run: { ...manifest.run, id } }));
      const others = [...entries.slice(0, -1), { name: 'manifest.json', bytes }];
      await refusalOf(await writeZip(join(base, `id-${count++}.zip`), others));
    }
  });
});

const LOCAL = 0x04034b50;
const CENTRAL = 0x02014b50;
const END = 0x06054b50;
const u16 = (...values: number[]): Buffer => {
  const out = Buffer.alloc(2 * values.length);
  values.forEach((value, i) => void out.writeUInt16LE(value, 2 * i));
  return out;
};
const u32 = (...values: number[]): Buffer => {
  const out = Buffer.alloc(4 * values.length);
  values.forEach((value, i) => void out.writeUInt32LE(value >>> 0, 4 * i));
  return out;
};

interface Bomb {
  readonly names: readonly string[];
  readonly packed: Buffer;
  /** What the directory says, whatever is in it. */
  readonly says: number;
  readonly entryCount?: number;
}

/** All names share one packed file: what overlaps weighs nothing. */
function bomb({ names, packed, says, entryCount = names.length }: Bomb): Buffer {
  const local = Buffer.concat([
    u32(LOCAL),
    u16(20, 0, 8, 0, 0),
    u32(0, packed.length, says),
    u16(1, 0),
    Buffer.from('x'),
    packed,
  ]);
  const central = names.map((name) =>
    Buffer.concat([
      u32(CENTRAL),
      u16(20, 20, 0, 8, 0, 0),
      u32(0, packed.length, says),
      u16(name.length, 0, 0, 0, 0),
      u32(0, 0),
      Buffer.from(name),
    ]),
  );
  const directory = Buffer.concat(central);
  return Buffer.concat([
    local,
    directory,
    u32(END),
    u16(0, 0, entryCount, entryCount),
    u32(directory.length, local.length),
    u16(0),
  ]);
}

const write = (bytes: Buffer): string => {
  const file = join(base, `bomb-${count++}.zip`);
  writeFileSync(file, bytes);
  return file;
};

/** Bytes that the process took at most while it ran. */
async function memoryOf(work: () => Promise<unknown>): Promise<number> {
  const before = process.memoryUsage().rss;
  await work();
  return process.memoryUsage().rss - before;
}

describe('bombs', () => {
  const zeros = deflateRawSync(Buffer.alloc(40 * 1024 * 1024));

  test('42 kB that say 4 GB are refused by what they say', async () => {
    const file = write(bomb({ names: ['raw/raw-00001.log'], packed: zeros.subarray(0, 40_000), says: 0xfffffffe }));
    const taken = await memoryOf(async () => expect((await refusalOf(file)).code).toBe('file too large'));
    expect(taken).toBeLessThan(50 * 1024 * 1024);
  });

  test('one that says less than it holds ends where it said it would', async () => {
    const file = write(bomb({ names: ['manifest.json'], packed: zeros, says: 1000 }));
    const taken = await memoryOf(async () => expect((await refusalOf(file)).code).toBe('file unreadable'));
    expect(taken).toBeLessThan(50 * 1024 * 1024);
  });

  test('files that overlap weigh together', async () => {
    const names = Array.from({ length: 900 }, (_, i) => `plans/${String(i + 1).padStart(3, '0')}.json`);
    const { code, message } = await refusalOf(write(bomb({ names, packed: zeros, says: 40 * 1024 * 1024 })));
    expect(code).toBe('file too large');
    expect(message).toMatch(/found \d+ bytes in \d+, expected at most \d+$/);
  });

  test('more files than a run can have are refused unread', async () => {
    const many = bomb({ names: ['manifest.json'], packed: zeros.subarray(0, 10), says: 10, entryCount: 0xfffe });
    const { message } = await refusalOf(write(many));
    expect(message).toContain(`found 65534 files, expected at most ${ARCHIVE_LIMITS.entries}`);
  });

  test('an archive in the archive is not opened', async () => {
    const inner = await zipBytes(entries);
    expect((await refusalOf(await hostile([{ name: 'inner.zip', bytes: inner }]))).code).toBe('file unreadable');
  });
});

describe('what is no archive', () => {
  test.each<[string, () => Buffer]>([
    ['nothing', () => Buffer.alloc(0)],
    ['text', () => Buffer.from('hello')],
    ['zeros', () => Buffer.alloc(100_000)],
    ['the end alone', () => Buffer.concat([u32(END), u16(0, 0, 1, 1), u32(46, 0), u16(0)])],
  ])('%s', async (_, bytes) => {
    const { message } = await refusalOf(write(bytes()));
    expect(message).toMatch(/^[^\n]*: found [^\n]*, expected the archive of a run$/);
  });

  test('one that is cut short anywhere', async () => {
    const whole = await zipBytes(entries);
    for (const share of [0.01, 0.3, 0.7, 0.99, 0.9999]) {
      await refusalOf(write(whole.subarray(0, Math.floor(share * whole.length))));
    }
  });

  test('one without a manifest, with another, or with one that nests without end', async () => {
    const deep = `${'['.repeat(200_000)}`;
    for (const text of [
      '{}',
      'null',
      deep,
      `${deep}${']'.repeat(200_000)}`,
      '{"__proto__":{"format":"jointwise-archive/1"}}',
      'x',
    ]) {
      const others = [...entries.slice(0, -1), { name: 'manifest.json', bytes: Buffer.from(text) }];
      const { message } = await refusalOf(await writeZip(join(base, `manifest-${count++}.zip`), others));
      expect(message.length).toBeLessThan(1000);
    }
    await refusalOf(await writeZip(join(base, 'none.zip'), entries.slice(0, -1)));
    expect(({} as { format?: string }).format).toBeUndefined();
  });
});
