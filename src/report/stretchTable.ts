/** Stretches of time in one activity, a row each, with what was lost and why. */
import { UNKNOWN } from '../figures.ts';
import type { Cell, Column } from '../sheet/cell.ts';
import { type Flow, heading } from '../sheet/flow.ts';
import { table } from '../sheet/table.ts';
import { lasted, traceLink } from './facts.ts';
import type { ReportStretch } from './reportInput.ts';

export const duration = (head: string): Column => ({ head, unit: 'h:min:s', align: 'right' });
export const boldCell = (said: string): Cell => ({ text: said, bold: true });

/** @param when how an instant is written, ms since 1970 UTC */
export function stretchTable(
  flow: Flow,
  when: (ms: number) => string,
  title: string,
  all: readonly ReportStretch[],
  none: string,
): void {
  heading(flow, title);
  table(flow, {
    columns: [
      { head: 'From', whole: true },
      { head: 'To', whole: true },
      duration('Time'),
      { head: 'Activity' },
      { head: 'Joint' },
      { head: 'Code' },
      { head: 'Reason' },
      { head: 'By' },
    ],
    rows: all.map(({ from, to, ms, activity, joint, lost }) => [
      { text: when(Date.parse(from)), href: traceLink(Date.parse(from), joint) },
      when(Date.parse(to)),
      lasted(ms),
      activity,
      joint ?? UNKNOWN,
      lost?.code ?? UNKNOWN,
      lost?.reason ?? UNKNOWN,
      lost?.by ?? UNKNOWN,
    ]),
    none,
  });
}
