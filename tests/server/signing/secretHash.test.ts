import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { z } from 'zod/mini';
import { derive, hashSecret, isSecret, secretHashSchema, secretProblem } from '../../../server/signing/secretHash.ts';

const CHEAP = { N: 16, r: 1, p: 1 };

describe('RFC 7914, section 12: test vectors of scrypt', () => {
  it.each([
    [
      '',
      '',
      16,
      1,
      1,
      '77d6576238657b203b19ca42c18a0497f16b4844e3074ae8dfdffa3fede21442fcd0069ded0948f8326a753a0fc81f17e8d3e0fb2e0d3628cf35e20c38d18906',
    ],
    [
      'password',
      'NaCl',
      1024,
      8,
      16,
      'fdbabe1c9d3472007856e7190d01e9fe7c6ad7cbc8237830e77376634b3731622eaf30d92e22a3886ff109279d9830dac727afb94a83ee6d8360cbdfa2cc0640',
    ],
    [
      'pleaseletmein',
      'SodiumChloride',
      16_384,
      8,
      1,
      '7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2d5432955613f0fcf62d49705242a9af9e61e85dc0d651e40dfcf017b45575887',
    ],
  ] as const)('%s', async (secret, salt, N, r, p, expected) => {
    expect((await derive(secret, Buffer.from(salt), N, r, p, 64)).toString('hex')).toBe(expected);
  });
});

it('the one secret is right, every other is not', async () => {
  await fc.assert(
    fc.asyncProperty(fc.string({ minLength: 1 }), fc.string({ minLength: 1 }), async (secret, other) => {
      const kept = await hashSecret(secret, CHEAP);
      expect(await isSecret(secret, kept)).toBe(true);
      expect(await isSecret(other, kept)).toBe(other.normalize('NFC') === secret.normalize('NFC'));
    }),
    { numRuns: 30 },
  );
});

it('no two hashes of one secret are alike, and none holds it', async () => {
  const [a, b] = [await hashSecret('correct horse', CHEAP), await hashSecret('correct horse', CHEAP)];
  expect(a.salt).not.toBe(b.salt);
  expect(a.hash).not.toBe(b.hash);
  expect(JSON.stringify(a)).not.toContain('correct');
});

it('is made at a cost that stands beside it, and accepted with another', async () => {
  const kept = await hashSecret('a long secret');
  expect(kept).toMatchObject({ N: 32_768, r: 8, p: 3 });
  expect(z.safeParse(secretHashSchema, kept).success).toBe(true);
  expect(await isSecret('a long secret', kept)).toBe(true);
  expect(await isSecret('a long secret', await hashSecret('a long secret', { N: 1024, r: 4, p: 2 }))).toBe(true);
});

it('a letter composed in two ways is one letter', async () => {
  expect(await isSecret('cafe\u0301 noir', await hashSecret('caf\u00e9 noir', CHEAP))).toBe(true);
});

it.each([
  ['no power of two', { N: 1000 }],
  ['more memory than may be', { N: 2 ** 20, r: 64 }],
  ['no salt', { salt: '' }],
])('a file that asks for %s is refused', async (_what, change) => {
  const kept = { ...(await hashSecret('a long secret', CHEAP)), ...change };
  expect(z.safeParse(secretHashSchema, kept).success).toBe(false);
});

it('a secret that may not be chosen is refused without being repeated', () => {
  expect(secretProblem('12345678')).toBeNull();
  for (const wrong of ['1234567', 'x'.repeat(201), 12345678, undefined, null]) {
    const line = secretProblem(wrong)!;
    expect(line).toMatch(/^secret: found (none|a shorter one|a longer one), expected 8 to 200 characters$/);
  }
});
