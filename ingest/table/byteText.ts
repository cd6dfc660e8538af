/**
 * Bytes to text in which every character is one byte, so that a cut anywhere changes nothing and no byte is lost: what
 * is beyond ASCII is decoded cell by cell (`cellText`), since logs mix UTF-8 with Latin-1. UTF-16, by its mark or by the
 * zero bytes of its first characters, becomes the bytes of UTF-8 first.
 */
import { TextDecoder } from 'node:util';

/** Text is passed on in pieces of at most this many characters: whatever keeps a part of a piece keeps no more alive. */
const PIECE_BYTES = 16 * 1024;
/** The bytes that tell the encoding. */
const HEAD_BYTES = 4;

type Encoding = 'utf-16le' | 'utf-16be' | 'bytes';

function encodingOf(head: Uint8Array): { readonly encoding: Encoding; readonly mark: number } {
  const [a, b, c, d] = head;
  if (a === 0xff && b === 0xfe) return { encoding: 'utf-16le', mark: 2 };
  if (a === 0xfe && b === 0xff) return { encoding: 'utf-16be', mark: 2 };
  if (a === 0xef && b === 0xbb && c === 0xbf) return { encoding: 'bytes', mark: 3 };
  if (a && b === 0 && c && d === 0) return { encoding: 'utf-16le', mark: 0 };
  if (a === 0 && b && c === 0 && d) return { encoding: 'utf-16be', mark: 0 };
  return { encoding: 'bytes', mark: 0 };
}

export class ByteText {
  private readonly out: (piece: string) => void;
  private head: number[] | null = [];
  private wide: TextDecoder | null = null;

  constructor(out: (piece: string) => void) {
    this.out = out;
  }

  push(bytes: Uint8Array): void {
    if (this.head === null) {
      this.pass(bytes);
      return;
    }
    const taken = Math.min(HEAD_BYTES - this.head.length, bytes.length);
    for (let i = 0; i < taken; i++) this.head.push(bytes[i]!);
    if (this.head.length < HEAD_BYTES) return;
    this.begin();
    this.pass(bytes.subarray(taken));
  }

  end(): void {
    if (this.head !== null) this.begin();
    const rest = this.wide?.decode();
    if (rest) this.passBytes(Buffer.from(rest, 'utf8'));
  }

  private begin(): void {
    const head = Uint8Array.from(this.head!);
    this.head = null;
    const { encoding, mark } = encodingOf(head);
    if (encoding !== 'bytes') this.wide = new TextDecoder(encoding, { ignoreBOM: true });
    this.pass(head.subarray(mark));
  }

  private pass(bytes: Uint8Array): void {
    for (let from = 0; from < bytes.length; from += PIECE_BYTES) {
      const piece = bytes.subarray(from, from + PIECE_BYTES);
      this.passBytes(this.wide ? Buffer.from(this.wide.decode(piece, { stream: true }), 'utf8') : piece);
    }
  }

  private passBytes(bytes: Uint8Array): void {
    if (bytes.length > 0) this.out(Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length).toString('latin1'));
  }
}
