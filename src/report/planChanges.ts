/** What one plan says otherwise than another, line by line, as the plan itself has it. */
import type { Plan } from '../plan/planSchema.ts';
import { flatLines } from '../signing/flatLines.ts';

export interface PlanChange {
  /** `acceptance.coverage` */
  readonly place: string;
  /** As JSON writes it; null: it is not there. */
  readonly before: string | null;
  readonly after: string | null;
}

const SAYS = ' = ';

function linesOf(plan: Plan): Map<string, string> {
  return new Map(
    flatLines(plan).map((line) => {
      const at = partedAt(line);
      return [line.slice(0, at), line.slice(at + SAYS.length)];
    }),
  );
}

/** The first ` = ` outside quotes. */
function partedAt(line: string): number {
  let quoted = false;
  for (let i = 0; i < line.length; i += 1) {
    if (quoted && line[i] === '\\') i += 1;
    else if (line[i] === '"') quoted = !quoted;
    else if (!quoted && line.startsWith(SAYS, i)) return i;
  }
  return line.length;
}

/** In the order of places; what both say alike is left out. */
export function planChanges(before: Plan, after: Plan): PlanChange[] {
  const [a, b] = [linesOf(before), linesOf(after)];
  const places = [...new Set([...a.keys(), ...b.keys()])].sort();
  return places
    .map((place) => ({ place, before: a.get(place) ?? null, after: b.get(place) ?? null }))
    .filter((change) => change.before !== change.after);
}
