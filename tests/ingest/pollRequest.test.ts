import fc from 'fast-check';
import { expect, test } from 'vitest';
import { POLL_LIMITS } from '../../ingest/poll.ts';
import { WITS_ITEMS } from '../../ingest/wits/items.ts';
import { pollRequest } from '../../ingest/wits/pollRequest.ts';
import { createWitsReader } from '../../ingest/wits/witsReader.ts';
import { compileJob } from '../../src/plan/job.ts';
import { planSchema } from '../../src/plan/planSchema.ts';
import { SMALL_PLAN } from '../support/smallPlan.ts';

const STREAM = compileJob(planSchema.parse(SMALL_PLAN)).stream;
const packetOf = (...lines: string[]) => ({ kind: 'request', payload: `&&\r\n${lines.join('\r\n')}\r\n!!\r\n` });

test.each([
  // what the user wrote | the lines of the packet
  [['0111-9999'], ['0111-9999']],
  [
    ['1984floor', '0140-8888'],
    ['1984floor', '0140-8888'],
  ],
  [['1984floor\n0140-8888\n'], ['1984floor', '0140-8888']],
  [['&&\r\n0111-9999\r\n!!\r\n'], ['0111-9999']],
  [['01405=x; ~'], ['01405=x; ~']],
])('%j is one packet', (text, lines) => {
  expect(pollRequest(text)).toEqual(packetOf(...lines));
});

test.each([
  // what the user wrote | why it is refused
  [[], 'found no item, expected a line such as 0111-9999'],
  [[''], 'found no item, expected a line such as 0111-9999'],
  [['&&', '!!'], 'found no item, expected a line such as 0111-9999'],
  [['hello'], 'found "hello", expected a four-digit item code and its value in printable ASCII'],
  [['0111'], 'found "0111", expected a four-digit item code and its value in printable ASCII'],
  [['111-9999'], 'found "111-9999", expected a four-digit item code and its value in printable ASCII'],
  [['00001'], 'found "00001", expected a four-digit item code and its value in printable ASCII'],
  [['0111é'], 'found "0111é", expected a four-digit item code and its value in printable ASCII'],
  [['0111\x00'], 'found "0111\\u0000", expected a four-digit item code and its value in printable ASCII'],
  [['0111\r0112'], 'found "0111\\r0112", expected a four-digit item code and its value in printable ASCII'],
  [['01111!!'], 'found "01111!!", expected a four-digit item code and its value in printable ASCII'],
  [['01111&&'], 'found "01111&&", expected a four-digit item code and its value in printable ASCII'],
  [['0105310304'], 'found 0105, the stamp of a frame, expected an item that is no date or time'],
  [['0206120000'], 'found 0206, the stamp of a frame, expected an item that is no date or time'],
  [['01111', '01112'], 'found 0111 twice, expected each item once'],
  [['1984floor'], "found only the vendor's name, expected an item besides it"],
  [[`0140${'x'.repeat(1020)}`], 'found 1034 bytes with its marks, expected at most 1024'],
])('%j is refused', (text, line) => {
  expect(pollRequest(text)).toEqual({ kind: 'refused', line });
});

test('the longest request is sent whole', () => {
  const longest = pollRequest([`0140${'x'.repeat(POLL_LIMITS.payloadBytes - 14)}`]);
  expect(longest.kind === 'request' && longest.payload.length).toBe(POLL_LIMITS.payloadBytes);
});

test('every request that is sent is known when it comes back, whatever stands in it', () => {
  const codes = WITS_ITEMS.map(({ code }) => code);
  const line = fc
    .tuple(
      fc.oneof(fc.constantFrom(...codes), fc.integer({ min: 0, max: 9999 })),
      fc.oneof(
        fc.stringMatching(/^[\x20-\x7e]{1,20}$/),
        fc.constantFrom('-9999', '-8888', '-999.25', '1', '12.5', ' '),
      ),
    )
    .map(([code, value]) => String(code).padStart(4, '0') + value);
  let sent = 0;
  fc.assert(
    fc.property(fc.array(line, { minLength: 1, maxLength: 6 }), (lines) => {
      const request = pollRequest(lines);
      if (request.kind === 'refused') return;
      sent++;
      const reader = createWitsReader(STREAM, () => expect.fail('a sample was made of our request'), {
        pollPayload: request.payload,
      });
      reader.push(Buffer.from(request.payload + request.payload, 'latin1'), 1e12);
      reader.end();
      expect(reader.counts.rejected['echo of our poll'], request.payload).toBe(2);
    }),
    { numRuns: 300 },
  );
  expect(sent).toBeGreaterThan(100);
});
