/** What is wrong with the part `time` of a plan beyond its schema; apart from that, so that what only counts a run need not load it. */
import type { TimePlan } from './timePlan.ts';

export function timeProblems({ planned = [], codes = [] }: TimePlan): { path: string; text: string }[] {
  const twice = (list: string, key: string, names: readonly string[]) =>
    names.flatMap((name, i) =>
      names.indexOf(name) < i
        ? [{ path: `time.${list}[${i}].${key}`, text: `found "${name}" twice, expected each once` }]
        : [],
    );
  return [
    ...twice(
      'planned',
      'activity',
      planned.map(({ activity }) => activity),
    ),
    ...twice(
      'codes',
      'code',
      codes.map(({ code }) => code),
    ),
  ];
}
