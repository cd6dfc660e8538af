import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { DiskError, readWhole, writeWhole } from '../../server/keep/disk.ts';
import { nodeDisk } from '../../server/keep/nodeDisk.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'jointwise-disk-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

function troubleOf(call: () => unknown): string {
  try {
    call();
  } catch (error) {
    if (error instanceof DiskError) return `${error.trouble}: ${error.message}`;
    throw error;
  }
  return 'none';
}

test('what is written is read back, at any place, and cut', async () => {
  const file = nodeDisk.open(join(folder, 'a'), 'write');
  file.write(Buffer.from('0123456789'), 0);
  file.write(Buffer.from('xy'), 3);
  await file.datasync();
  file.truncate(6);
  const into = Buffer.alloc(10);
  expect([file.size(), file.read(into, 1), into.subarray(0, 5).toString()]).toEqual([6, 5, '12xy5']);
  file.close();
});

test('a file that is not there, a full disk and a closed file are told apart', async () => {
  expect(troubleOf(() => nodeDisk.open(join(folder, 'none'), 'read'))).toContain('missing: ');
  // The system's device on which there is never room.
  const full = nodeDisk.open('/dev/full', 'write');
  expect(troubleOf(() => full.write(Buffer.from('x'), 0))).toBe('full: /dev/full: found ENOSPC, expected to write');
  full.close();
  full.close();
  expect(troubleOf(() => full.size())).toContain('failed: /dev/full: found it closed');
  await expect(full.datasync()).rejects.toThrow(DiskError);
  writeFileSync(join(folder, 'a'), '');
  expect(troubleOf(() => nodeDisk.open(join(folder, 'a', 'b'), 'read'))).toContain('failed: ');
});

test('a folder that is not there is empty', () => {
  expect(nodeDisk.list(join(folder, 'none'))).toEqual([]);
});

test('a whole file replaces the one before, and a larger one than expected is not read', async () => {
  await writeWhole(nodeDisk, folder, 'a', Buffer.from('longer than the next'));
  await writeWhole(nodeDisk, folder, 'a', Buffer.from('next'));
  expect(readFileSync(join(folder, 'a'), 'utf8')).toBe('next');
  expect(nodeDisk.list(folder)).toEqual(['a']);
  expect(troubleOf(() => readWhole(nodeDisk, join(folder, 'a'), 3))).toContain('found 4 bytes, expected at most 3');
});

test('room is told', () => {
  const { freeBytes, totalBytes } = nodeDisk.space(folder);
  expect(freeBytes).toBeGreaterThan(0);
  expect(totalBytes).toBeGreaterThanOrEqual(freeBytes);
});
