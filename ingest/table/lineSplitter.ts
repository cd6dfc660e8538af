/** Text in pieces to lines, whatever ends them: CR LF, LF or CR. A line beyond the limit is dropped whole and told. */

export const LINE_LIMITS = { characters: 256 * 1024 } as const;

export class LineSplitter {
  /** Of the line told last, from 1. */
  number = 0;
  private readonly line: (text: string) => void;
  private readonly tooLong: () => void;
  private pending = '';
  private overlong = false;
  private skipLf = false;

  constructor(line: (text: string) => void, tooLong: () => void) {
    this.line = line;
    this.tooLong = tooLong;
  }

  push(piece: string): void {
    let from = 0;
    if (this.skipLf && piece.length > 0) {
      this.skipLf = false;
      if (piece.charCodeAt(0) === 10) from = 1;
    }
    let lf = piece.indexOf('\n', from);
    let cr = piece.indexOf('\r', from);
    while (lf >= 0 || cr >= 0) {
      const atCr = cr >= 0 && (lf < 0 || cr < lf);
      const stop = atCr ? cr : lf;
      this.take(piece.slice(from, stop), true);
      from = stop + 1;
      if (atCr && from === piece.length) this.skipLf = true;
      else if (atCr && from === lf) from += 1;
      if (lf >= 0 && lf < from) lf = piece.indexOf('\n', from);
      if (cr >= 0 && cr < from) cr = piece.indexOf('\r', from);
    }
    if (from < piece.length) this.take(from === 0 ? piece : piece.slice(from), false);
  }

  /** The last line need not be ended. */
  end(): void {
    if (this.pending !== '' || this.overlong) this.take('', true);
  }

  private take(part: string, ended: boolean): void {
    if (this.overlong || this.pending.length + part.length > LINE_LIMITS.characters) {
      this.overlong = true;
      this.pending = '';
    } else {
      this.pending = this.pending === '' ? part : this.pending + part;
    }
    if (!ended) return;
    const { pending, overlong } = this;
    this.pending = '';
    this.overlong = false;
    this.number++;
    if (overlong) this.tooLong();
    else this.line(pending);
  }
}
