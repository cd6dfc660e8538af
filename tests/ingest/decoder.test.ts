import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { DECODER_LIMITS } from '../../ingest/wits/decoder.ts';
import { codeText } from '../../ingest/wits/items.ts';
import { accounted, cutAt, decodeAll, type PlainPacket } from './decodeAll.ts';

const eol = fc.constantFrom('\r\n', '\n', '\r', '\n\r');
const code = fc
  .tuple(fc.integer({ min: 1, max: 99 }), fc.integer({ min: 1, max: 99 }))
  .map(([record, item]) => codeText(record * 100 + item));
const numberText = fc.oneof(
  fc.double({ noNaN: true }).map(String),
  fc.integer({ min: -99_999, max: 99_999 }).map(String),
  fc.tuple(fc.integer({ min: -9999, max: 9999 }), fc.stringMatching(/^\d{0,24}$/)).map(([a, b]) => `${a}.${b}`),
  fc.stringMatching(/^[+-]?\d{1,25}\.?\d{0,25}$/),
  fc.stringMatching(/^[-+.eE\dxIn ]{1,12}$/),
  fc.constantFrom('-0', '.5', '5.', '+5', '1e5', '-1E-3', '0x1F', 'Infinity', '-Infinity', 'NaN', '9007199254740993'),
);
/** No line ends, no doubled marks: what a value may hold. */
const wordText = fc.stringMatching(/^[A-Za-z0-9 ,.;:#%/()-]{0,30}$/);
const line = fc.tuple(code, fc.oneof(numberText, wordText)).map(([c, v]) => c + v);
const packetText = fc
  .tuple(fc.array(line, { minLength: 1, maxLength: 12 }), eol)
  .map(([lines, end]) => `&&${end}${lines.join(end)}${end}!!${end}`);

/** The same, slowly and plainly: well-formed packets only. */
function reference(text: string): PlainPacket[] {
  return text
    .split('!!')
    .slice(0, -1)
    .map((part) => {
      const lines = part.slice(part.indexOf('&&') + 2).split(/[\r\n]+/);
      const items = lines
        .filter((each) => each !== '')
        .map((each) => {
          const raw = each.slice(4).replace(/^[ \t]+|[ \t]+$/g, '');
          return { code: Number(each.slice(0, 4)), value: raw === '' ? Number.NaN : Number(raw), text: raw };
        });
      return { items, endedBy: 'trailer' };
    });
}

describe('properties', () => {
  test('well-formed packets come out as a plain decoder reads them', () => {
    fc.assert(
      fc.property(fc.array(packetText, { maxLength: 6 }), (packets) => {
        const text = packets.join('');
        const { packets: ours, decoder } = decodeAll([text]);
        expect(ours).toEqual(reference(text));
        expect(accounted(decoder)).toBe(text.length);
      }),
      { numRuns: 300 },
    );
  });

  test('a stream cut anywhere gives the same packets and the same counts, well formed or not', () => {
    const anything = fc.oneof(
      { weight: 4, arbitrary: packetText },
      fc.stringMatching(/^[&!\r\n 0-9.A]{0,20}$/),
      fc.constantFrom('&&', '!!', '&', '!', '0108', '&&&', '!!!', '&&\r\n01', '\r\n'),
      line,
    );
    fc.assert(
      fc.property(fc.array(anything, { maxLength: 10 }), fc.array(fc.nat(2000), { maxLength: 12 }), (parts, cuts) => {
        const text = parts.join('');
        const whole = decodeAll([text]);
        for (const chunks of [cutAt(text, cuts), text.split('')]) {
          const cut = decodeAll(chunks);
          expect(cut.packets).toEqual(whole.packets);
          expect(cut.decoder.counts).toEqual(whole.decoder.counts);
          expect(cut.decoder.refusedBytes).toEqual(whole.decoder.refusedBytes);
        }
        expect(accounted(whole.decoder)).toBe(text.length);
      }),
      { numRuns: 400 },
    );
  });

  test('a number is what Number(text) gives, to the last bit', () => {
    fc.assert(
      fc.property(numberText, (text) => {
        const { packets } = decodeAll([`&&\r\n0108${text}\r\n!!`]);
        const raw = text.replace(/^[ \t]+|[ \t]+$/g, '');
        expect(packets[0]!.items[0]!.value).toBe(raw === '' ? Number.NaN : Number(raw));
      }),
      { numRuns: 3000 },
    );
  });

  test('limits cut a packet off at the same place, however the stream is cut', () => {
    const lines = (count: number, value: string) => Array.from({ length: count }, () => `0108${value}\r\n`).join('');
    const long = `&&\r\n${lines(DECODER_LIMITS.items + 5, '1')}!!\r\n&&\r\n01085\r\n!!`;
    const wide = `&&\r\n${lines(100, 'x'.repeat(1000))}!!\r\n&&\r\n01085\r\n!!`;
    const lone = `&&\r\n0108${'7'.repeat(200_000)}&&\r\n01085\r\n!!`;
    const blank = `&&${'\r\n'.repeat(40_000)}!!&&\r\n01085\r\n!!`;
    for (const text of [long, wide, lone, blank]) {
      const whole = decodeAll([text]);
      expect(whole.packets.map((packet) => packet.items.length)).toEqual([1]);
      expect(whole.decoder.counts['packet too long']).toBe(1);
      const cut = decodeAll(cutAt(text, [1, 7, 65_536, 65_537, 65_540, 70_000, 131_071, 131_080]));
      expect(cut.packets).toEqual(whole.packets);
      expect(cut.decoder.refusedBytes).toEqual(whole.decoder.refusedBytes);
      expect(accounted(whole.decoder)).toBe(text.length);
    }
  });
});
