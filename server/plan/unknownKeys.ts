/**
 * Keys in a file that its schema does not know. They are not refused, since other programs may keep their own notes
 * there, but they are said aloud: a mistyped bound that silently does not apply is dangerous.
 */
import { z } from 'zod/mini';
import { placeOf, shown } from './schemaFaults.ts';

const WARNINGS_SHOWN = 20;

/** The schema of what a value holds, behind `optional`, `default` and the like. */
function bare(schema: unknown): unknown {
  let at = schema;
  while (at instanceof z.ZodMiniOptional || at instanceof z.ZodMiniDefault || at instanceof z.ZodMiniPrefault)
    at = at.def.innerType;
  return at;
}

/**
 * @param schema what the file may hold; objects, arrays and records are walked into.
 * @param known top-level keys that are known beyond the schema.
 * @returns one line for each key, without the file's name.
 */
export function unknownKeys(schema: z.core.$ZodType, value: unknown, known: readonly string[] = []): string[] {
  const lines: string[] = [];
  const walk = (wrapped: unknown, part: unknown, path: PropertyKey[], extra: readonly string[]) => {
    if (typeof part !== 'object' || part === null || lines.length >= WARNINGS_SHOWN) return;
    const at = bare(wrapped);
    if (at instanceof z.ZodMiniArray && Array.isArray(part)) {
      for (const [i, entry] of part.entries()) walk(at.def.element, entry, [...path, i], []);
    } else if (at instanceof z.ZodMiniRecord) {
      for (const [key, entry] of Object.entries(part)) walk(at.def.valueType, entry, [...path, key], []);
    } else if (at instanceof z.ZodMiniObject) {
      for (const [key, entry] of Object.entries(part)) {
        if (lines.length >= WARNINGS_SHOWN) return;
        if (Object.hasOwn(at.shape, key)) walk(at.shape[key], entry, [...path, key], []);
        else if (!at.def.catchall && !extra.includes(key)) lines.push(lineOf(path, key, Object.keys(at.shape)));
      }
    }
  };
  walk(schema, value, [], known);
  return lines.slice(0, WARNINGS_SHOWN);
}

function lineOf(path: readonly PropertyKey[], key: string, names: readonly string[]): string {
  return `${placeOf(path)}: found the unknown key ${shown(key)}, which is not applied; expected ${names.join(', ')}`;
}
