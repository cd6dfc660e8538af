/**
 * Rows oldest first, however a table has them. The first rows decide; a table that has the newest first is kept whole and
 * passed on at its end, since nothing can be said of a run whose beginning has not been read.
 */

export const DIRECTION_LIMITS = {
  /** Steps from row to row that are looked at; two of one way are enough. */
  steps: 8,
  enough: 2,
  /** Numbers kept of a table that has the newest first, 8 bytes each: 72 h at 1 Hz with twenty channels are 5.4 million. */
  numbers: 8_000_000,
  numbersABlock: 8192,
} as const;

type Direction = 'open' | 'oldest first' | 'newest first';

export class RowDirection {
  direction: Direction = 'open';
  /** Rows of a newest-first table beyond the limit. */
  beyond = 0;
  private readonly out: (stampMs: number, values: Float64Array) => void;
  private readonly width: number;
  private readonly rowsABlock: number;
  private readonly mostRows: number;
  private readonly blocks: Float64Array[] = [];
  private rows = 0;
  private lastMs = Number.NaN;
  private steps = 0;
  private forward = 0;

  /** @param slots values of a row. */
  constructor(slots: number, out: (stampMs: number, values: Float64Array) => void) {
    this.out = out;
    this.width = slots + 1;
    this.rowsABlock = Math.max(1, Math.floor(DIRECTION_LIMITS.numbersABlock / this.width));
    this.mostRows = Math.floor(DIRECTION_LIMITS.numbers / this.width);
  }

  take(stampMs: number, values: Float64Array): void {
    if (this.direction === 'oldest first') {
      this.out(stampMs, values);
      return;
    }
    this.keep(stampMs, values);
    if (this.direction === 'open') this.decide(stampMs);
  }

  end(): void {
    if (this.direction === 'open') this.settle();
    if (this.direction === 'newest first') this.release(true);
  }

  private decide(stampMs: number): void {
    const step = stampMs - this.lastMs;
    this.lastMs = stampMs;
    if (step === 0 || Number.isNaN(step)) {
      if (this.rows >= this.rowsABlock) this.settle();
      return;
    }
    this.steps++;
    if (step > 0) this.forward++;
    const back = this.steps - this.forward;
    const clear = Math.min(back, this.forward) === 0 && this.steps >= DIRECTION_LIMITS.enough;
    if (clear || this.steps >= DIRECTION_LIMITS.steps) this.settle();
  }

  private settle(): void {
    this.direction = this.steps - this.forward > this.forward ? 'newest first' : 'oldest first';
    if (this.direction === 'oldest first') this.release(false);
  }

  private keep(stampMs: number, values: Float64Array): void {
    if (this.rows >= this.mostRows) {
      this.beyond++;
      return;
    }
    const place = this.rows % this.rowsABlock;
    if (place === 0) this.blocks.push(new Float64Array(this.rowsABlock * this.width));
    const block = this.blocks.at(-1)!;
    block[place * this.width] = stampMs;
    block.set(values, place * this.width + 1);
    this.rows++;
  }

  private release(reversed: boolean): void {
    const { rows } = this;
    for (let i = 0; i < rows; i++) {
      const row = reversed ? rows - 1 - i : i;
      const block = this.blocks[Math.floor(row / this.rowsABlock)]!;
      const from = (row % this.rowsABlock) * this.width;
      this.out(block[from]!, block.subarray(from + 1, from + this.width));
    }
    this.blocks.length = 0;
    this.rows = 0;
  }
}
