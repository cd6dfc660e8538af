import { expect, test } from 'vitest';
import { type Admission, hostAdmitted, isOrigin, originAdmitted } from '../../server/http/admission.ts';

const loopback: Admission = {
  boundTo: '127.0.0.1',
  machineNames: ['rigpc'],
  allowedOrigins: ['https://shore.example:8443'],
};
const anywhere: Admission = { ...loopback, boundTo: '0.0.0.0' };

test.each([
  // Host header | bound to loopback | bound to all addresses
  ['127.0.0.1:8010', true, true],
  ['127.1.2.3', true, true],
  ['localhost:8010', true, true],
  ['LOCALHOST:8010', true, true],
  ['[::1]:8010', true, true],
  ['shore.example:8443', true, true],
  ['192.168.1.20:8010', false, true],
  ['[fe80::1]:8010', false, true],
  ['rigpc:8010', false, true],
  ['evil.example', false, false],
  ['localhost.evil.example:8010', false, false],
  ['127.0.0.1.evil.example:8010', false, false],
  ['127.0.0.1:8010@evil.example', false, false],
  ['localhost:8010, evil.example', false, false],
  ['1270.0.1', false, false],
  ['', false, false],
  [undefined, false, false],
])('Host %s', (header, whenLoopback, whenAnywhere) => {
  expect(hostAdmitted(header, loopback)).toBe(whenLoopback);
  expect(hostAdmitted(header, anywhere)).toBe(whenAnywhere);
});

test.each([
  // Origin | admitted for Host 127.0.0.1:8010
  ['http://127.0.0.1:8010', true],
  ['https://shore.example:8443', true],
  [undefined, true],
  ['null', false],
  ['', false],
  ['http://127.0.0.1', false],
  ['http://127.0.0.1:8011', false],
  ['https://127.0.0.1:8010', false],
  ['http://localhost:8010', false],
  ['http://127.0.0.1:8010.evil.example', false],
  ['http://127.0.0.1:80100', false],
  ['http://127.0.0.1:8010/', false],
  ['http://evil.example?http://127.0.0.1:8010', false],
  ['http://evil.example', false],
  ['https://shore.example:8443.evil.example', false],
  ['https://shore.example', false],
  ['https://evilshore.example:8443', false],
  ['http://shore.example:8443', false],
  ['file://', false],
])('Origin %s', (origin, admitted) => {
  expect(originAdmitted(origin, '127.0.0.1:8010', loopback)).toBe(admitted);
});

test('an allowed origin must be written as a browser writes it', () => {
  expect(['https://a.example', 'http://a.example:81', 'http://[::1]:8010'].filter(isOrigin)).toHaveLength(3);
  expect(
    ['a.example', 'https://a.example/', 'HTTPS://a.example', '*', 'null', 'ftp://a.example'].filter(isOrigin),
  ).toEqual([]);
});
