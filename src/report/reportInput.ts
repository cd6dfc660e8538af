/** What a report is drawn from. Everything but the run itself may be left out: the report then says that it is. */

import type { SourceCounts } from '../record/record.ts';
import type { RunRecord } from '../record/recordSchema.ts';
import type { UnitSystem } from '../units.ts';
import type { WorkedRun } from './workedRun.ts';

/** One signature, and whether what was signed is still what it was. */
export interface ReportSignature {
  readonly subject: string;
  /** Which one of its kind, where there are several. */
  readonly of?: string | null;
  readonly version: number;
  /** SHA-256 of the signed text, hex. */
  readonly hash: string;
  readonly by: string;
  readonly role: string;
  /** By our clock, ISO 8601 in UTC. */
  readonly atUtc: string;
  readonly rigTime: string;
  readonly holds:
    | { readonly kind: 'holds' }
    | {
        readonly kind: 'broken';
        readonly since: string;
        readonly cause:
          | { readonly kind: 'readings' }
          | { readonly kind: 'entry'; readonly action: string; readonly by: string };
        /** Parts that are not as they were signed. */
        readonly parts: readonly string[];
      };
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

/** A stretch of one activity. Instants ISO 8601. */
export interface ReportStretch {
  readonly activity: string;
  readonly joint: string | null;
  readonly from: string;
  readonly to: string;
  readonly ms: number;
  /** Null: not lost. */
  readonly lost: { readonly code: string; readonly reason: string; readonly by: string } | null;
}

/** Time in activities, days cut as the plan says. */
export interface ReportTime {
  /** Time of day, rig time. */
  readonly dayCut: string;
  readonly days: readonly {
    readonly date: string;
    /** 24 h, or what the clocks made of it. */
    readonly lengthMs: number;
    /** Before the run began or after it ended. */
    readonly outsideMs: number;
    readonly sums: readonly { readonly activity: string; readonly ms: number; readonly lostMs: number }[];
    readonly stretches: readonly ReportStretch[];
  }[];
  readonly totals: readonly {
    readonly activity: string;
    readonly ms: number;
    readonly lostMs: number;
    readonly plannedMs: number | null;
  }[];
  readonly lostMs: number;
  /** The work stood, and nobody has said why. */
  readonly uncoded: readonly ReportStretch[];
  /** What is used for what the plan leaves out: to be confirmed. */
  readonly defaults: readonly { readonly place: string; readonly value: string }[];
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
  /** Of a run whose plan was changed: the same run counted under the plan that it began with. */
  readonly underFirstPlan?: ReportAgainst | undefined;
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
