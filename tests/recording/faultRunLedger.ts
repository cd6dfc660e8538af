/** What was sent, what was acknowledged, and whether the log keeps to it. */
import type { Damage, LogItem } from '../../server/keep/readLog.ts';
import type { Ticket } from '../../server/recording/ticket.ts';
import { type JournalEntry, journalEntrySchema } from '../../src/journal/journalSchema.ts';
import type { Given } from './faultRunPlain.ts';

export class Broken extends Error {}
export function must(holds: boolean, promise: string): asserts holds {
  if (!holds) throw new Broken(promise);
}

interface Sent {
  readonly chunk: number;
  readonly ticket: Ticket;
  readonly bytes: Uint8Array;
  /** What its life had been told when it ended. */
  heard: 'waits' | 'acknowledged' | 'refused';
  /** The log was stopped when its life ended: what was refused may have been left behind. */
  endedStopped: boolean;
}

export interface InLog {
  /** Numbers of the chunks that the log holds, in its order. */
  readonly chunks: number[];
  readonly given: Map<number, Given>;
  readonly journal: JournalEntry[];
  readonly damages: Damage[];
  /** Chunks that hole marks say are missing. */
  readonly marked: number;
}

const textOf = (bytes: Uint8Array): string => Buffer.from(bytes).toString('utf8');

export class Ledger {
  /** By time of arrival: no two are the same. */
  readonly #sent = new Map<number, Sent>();
  readonly #entries: string[] = [];
  readonly reports: string[] = [];
  flips = 0;
  #endedTo = 0;

  isTaken(arrivalMs: number): boolean {
    return this.#sent.has(arrivalMs);
  }

  sent(chunk: number, bytes: Uint8Array, arrivalMs: number, ticket: Ticket): void {
    this.#sent.set(arrivalMs, { chunk, ticket, bytes, heard: 'waits', endedStopped: false });
  }

  entered(entry: JournalEntry): void {
    this.#entries.push(JSON.stringify(journalEntrySchema.parse(entry)));
  }

  /** Nobody hears more of this life. */
  lifeEnds(stopped: boolean): void {
    for (const sent of [...this.#sent.values()].slice(this.#endedTo)) {
      const { kind } = sent.ticket.state;
      sent.heard = kind === 'recorded' ? 'acknowledged' : kind === 'lost' ? 'refused' : 'waits';
      sent.endedStopped = stopped;
    }
    this.#endedTo = this.#sent.size;
  }

  count(heard: Sent['heard']): number {
    return [...this.#sent.values()].filter((sent) => sent.heard === heard).length;
  }

  /** @throws Broken */
  check(items: Iterable<LogItem>): InLog {
    const found = this.#taken(items);
    const seen = new Set(found.arrivals);
    for (const [arrivalMs, { chunk, heard, endedStopped }] of this.#sent) {
      if (heard === 'refused')
        must(!seen.has(arrivalMs) || endedStopped, `chunk ${chunk} was refused, and is not there`);
      if (heard !== 'acknowledged' || seen.has(arrivalMs)) continue;
      must(this.flips > 0, `chunk ${chunk} was acknowledged, and is there`);
      must(found.damages.length + this.reports.length > 0, `chunk ${chunk} is damaged, and is named`);
    }
    const entries = new Set(found.journal.map((entry) => JSON.stringify(entry)));
    for (const entry of this.#entries) must(entries.has(entry) || this.flips > 0, `${entry} was entered, and is there`);
    must(entries.size === found.journal.length, 'no entry is there twice');
    return found;
  }

  #taken(items: Iterable<LogItem>): InLog & { readonly arrivals: number[] } {
    const arrivals: number[] = [];
    const found = { chunks: [] as number[], given: new Map<number, Given>(), journal: [] as JournalEntry[] };
    const damages: Damage[] = [];
    let marked = 0;
    let last = -1;
    for (const item of items) {
      if (item.kind === 'damage') {
        damages.push(item.damage);
        continue;
      }
      const { kind, number, arrivalMs } = item.record;
      const bytes = Uint8Array.from(item.record.bytes);
      if (kind === 'journal') found.journal.push(journalEntrySchema.parse(JSON.parse(textOf(bytes))));
      if (kind === 'mark') marked += (JSON.parse(textOf(bytes)) as { records?: number }).records ?? 0;
      if (kind !== 'bytes') continue;
      const sent = this.#sent.get(arrivalMs);
      must(sent !== undefined && Buffer.compare(sent.bytes, bytes) === 0, `record ${number} is what was sent`);
      must(sent.chunk > last, `chunk ${sent.chunk} comes after ${last}, and once`);
      last = sent.chunk;
      found.chunks.push(sent.chunk);
      found.given.set(number, { bytes, arrivalMs });
      arrivals.push(arrivalMs);
    }
    return { ...found, damages, marked, arrivals };
  }
}
