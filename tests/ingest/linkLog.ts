import type { SourceHandlers } from '../../ingest/source.ts';

/** Handlers that keep what they were told, and a wait for something to be among it. */
export class LinkLog implements SourceHandlers {
  readonly links: string[] = [];
  readonly details: string[] = [];
  text = '';
  arrivals: number[] = [];
  private waiting: (() => void)[] = [];

  bytes(chunk: Uint8Array, arrivalMs: number): void {
    this.text += Buffer.from(chunk).toString('latin1');
    this.arrivals.push(arrivalMs);
    this.tell();
  }

  link(state: string, detail: string): void {
    this.links.push(state);
    this.details.push(detail);
    this.tell();
  }

  private tell(): void {
    for (const again of this.waiting.splice(0)) again();
  }

  /** Resolves once `holds`; the test's own time limit is the only other end. */
  async until(holds: (log: LinkLog) => boolean): Promise<void> {
    while (!holds(this)) await new Promise<void>((resolve) => this.waiting.push(resolve));
  }
}
