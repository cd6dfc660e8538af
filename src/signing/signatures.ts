/** The signatures of a run, and whether each holds: what was signed against what stands now. */
import type { JournalEntry } from '../journal/journalSchema.ts';
import type { RoleName } from './roles.ts';
import type { Side, SignEntry } from './signEntry.ts';
import { LATER_CAUSES, type SignBasis, type SignedPart, type SignedText, signedText } from './signedText.ts';
import { SUBJECTS, type SubjectName } from './subjects.ts';

/** SHA-256 of a text as UTF-8, hex: given by the caller, since this layer has no cryptography of its own. */
export type Sha256 = (text: string) => string;

export type Holds =
  | { readonly kind: 'holds' }
  | {
      readonly kind: 'broken';
      /** Of the entry that broke it; where the readings did, of the signature: it was later. */
      readonly since: string;
      readonly cause:
        | { readonly kind: 'readings' }
        | { readonly kind: 'entry'; readonly action: string; readonly by: string };
      /** Parts that are not as they were signed. */
      readonly parts: readonly string[];
    };

export interface SignatureState {
  /** In the order in which they were made, from 1. */
  readonly number: number;
  readonly subject: SubjectName;
  readonly of: string | null;
  readonly version: number;
  readonly hash: string;
  readonly by: string;
  readonly role: RoleName;
  readonly as: Side | null;
  readonly atUtc: string;
  readonly rigTime: string;
  readonly signedAt: string;
  readonly holds: Holds;
}

export const PART_HASH_DIGITS = 16;

export function partHashes(parts: readonly SignedPart[], sha256: Sha256): Record<string, string> {
  return Object.fromEntries(
    parts.map(({ name, lines }) => [name, sha256(lines.join('\n')).slice(0, PART_HASH_DIGITS)]),
  );
}

const isSign = (entry: JournalEntry): entry is SignEntry => entry.action === 'sign';
export const signsOf = (entries: readonly JournalEntry[], subject: SubjectName, of: string | null): SignEntry[] =>
  entries.filter(isSign).filter((sign) => sign.subject === subject && (sign.of ?? null) === of);

/** The version that a text of this hash is: one more than the last that was signed, unless it is that one. */
export function versionOf(hash: string, signs: readonly SignEntry[]): number {
  const last = signs.at(-1);
  if (!last) return 1;
  return last.hash === hash ? last.version : last.version + 1;
}

export function signaturesOf(basis: SignBasis, sha256: Sha256): SignatureState[] {
  const signs = basis.entries.flatMap((entry, index) => (isSign(entry) ? [{ entry, index }] : []));
  return signs.map(({ entry, index }, i) => {
    const { subject, of = null, version, hash, by, role, as = null, at, rigTime, signedAt } = entry;
    const known = { number: i + 1, subject, of, version, hash, by, role, as, atUtc: at, rigTime, signedAt };
    return { ...known, holds: judge(entry, basis, basis.entries.slice(index + 1), sha256) };
  });
}

function judge(sign: SignEntry, basis: SignBasis, later: readonly JournalEntry[], sha256: Sha256): Holds {
  const now = signedText(sign.subject, sign.of ?? null, basis, sign.seen);
  if (now && sha256(now.text) === sign.hash) return { kind: 'holds' };
  const parts = changedParts(sign, now, sha256);
  const entry = later.find((one) => parts.some((name) => touches(one, name)));
  const cause = entry
    ? ({ kind: 'entry', action: entry.action, by: entry.by } as const)
    : ({ kind: 'readings' } as const);
  return { kind: 'broken', since: entry?.at ?? sign.at, cause, parts };
}

/** Names of the parts that are not as they were; what is gone, the whole: its name is then that of the subject. */
function changedParts(sign: SignEntry, now: SignedText | null, sha256: Sha256): string[] {
  if (now === null) return [sign.of === undefined ? sign.subject : `${sign.subject} ${sign.of}`];
  const hashes = partHashes(now.parts, sha256);
  const names = new Set([...Object.keys(sign.parts), ...Object.keys(hashes)]);
  const changed = [...names].filter((name) => sign.parts[name] !== hashes[name]);
  // Only an entry that was written behind the program's back has whole parts and another hash.
  return changed.length > 0 ? changed : ['the hash'];
}

/** Whether an entry may have changed a part of a signed text. */
function touches(entry: JournalEntry, part: string): boolean {
  switch (entry.action) {
    case 'accept':
    case 'reject':
      return part === `joint ${entry.joint}`;
    case 'set depth':
      return /^(joint |depth|corrections|events|steps|tags)/.test(part);
    case 'change plan':
      return true;
    case 'drop ball':
      return part === 'steps' || part === 'events';
    case 'handover remarks':
      return part === 'remarks';
    case 'time code':
      return part === LATER_CAUSES;
    default:
      return false;
  }
}

/** How far a subject is signed. */
export interface Standing {
  readonly subject: SubjectName;
  readonly of: string | null;
  /** Different people whose signatures hold. */
  readonly signed: number;
  readonly needed: number;
  readonly broken: number;
}

/** One for each subject that somebody has signed, in the order of the table. */
export function standings(signatures: readonly SignatureState[]): Standing[] {
  const found = new Map<string, SignatureState[]>();
  for (const signature of signatures) {
    const key = JSON.stringify([signature.subject, signature.of]);
    found.set(key, [...(found.get(key) ?? []), signature]);
  }
  return [...found.values()].map((of) => {
    const { subject, of: which } = of[0]!;
    const holding = of.filter(({ holds }) => holds.kind === 'holds');
    return {
      subject,
      of: which,
      signed: new Set(holding.map(({ by }) => by)).size,
      needed: SUBJECTS[subject].signatures,
      broken: of.length - holding.length,
    };
  });
}
