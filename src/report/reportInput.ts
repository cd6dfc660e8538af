/** What a report is drawn from. Everything but the run itself may be left out: the report then says that it is. */

import type { SourceCounts } from '../record/record.ts';
import type { RunRecord } from '../record/recordSchema.ts';
import type { UnitSystem } from '../units.ts';
import type { WorkedRun } from './workedRun.ts';

/** One signature, and whether what was signed is still what it was. */
export interface ReportSignature {
  readonly subject: string;
  readonly version: number;
  /** SHA-256 of the signed text, hex. */
  readonly hash: string;
  readonly by: string;
  readonly role: string;
  /** By our clock, ISO 8601 in UTC. */
  readonly atUtc: string;
  readonly rigTime: string;
  readonly holds: { readonly kind: 'holds' } | { readonly kind: 'broken'; readonly since: string; readonly by: string };
}

/** What verifying the kept run found; `server/keep/verifyRun.ts` gives it so. */
export interface ReportVerification {
  readonly whole: boolean;
  readonly records: number;
  readonly lastNumber: number;
  /** Of the chain at the last record, hex. */
  readonly hash: string;
  readonly sealed: boolean;
  readonly journalRows: number;
  readonly plans: number;
  readonly holes: readonly { readonly fromMs: number | null; readonly toMs: number | null; readonly why: string }[];
  readonly problems: readonly string[];
}

/** Time in activities, days cut as the plan says. Minutes. */
export interface ReportTime {
  readonly days: readonly {
    /** From when to when, in words. */
    readonly day: string;
    readonly rows: readonly {
      readonly activity: string;
      readonly planned: number | null;
      readonly actual: number;
      /** Of the actual minutes, those that were lost. */
      readonly lost: number;
    }[];
  }[];
  readonly lost: readonly {
    readonly fromMs: number;
    readonly toMs: number;
    readonly code: string;
    readonly reason: string;
    readonly by: string;
  }[];
}

/** The same run under another plan, or another run. */
export interface ReportAgainst {
  /** What it is called. */
  readonly name: string;
  /** In the units of the report. */
  readonly record: RunRecord;
}

/** What others than the run itself know, and may be left out. */
export interface ReportExtras {
  readonly signatures?: readonly ReportSignature[] | undefined;
  readonly verification?: ReportVerification | undefined;
  readonly time?: ReportTime | undefined;
  readonly against?: ReportAgainst | undefined;
}

export interface ReportInput extends ReportExtras {
  /** At its end. */
  readonly worked: WorkedRun;
  readonly source: SourceCounts;
  /** What the run is called, and the program that counted it. */
  readonly runName: string;
  readonly program: string;
  readonly units: UnitSystem;
  /** SHA-256 of the record as it is written in a file, hex, in the units of its plan. */
  readonly recordHash: string;
}
