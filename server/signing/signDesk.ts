/**
 * Where people sign what a live run has come to: the run is an argument, since one may follow another. What is signed is what the person saw: the text is made once more between two
 * samples, and one that is no longer the same is refused.
 */
import { createHash } from 'node:crypto';
import { invariant } from '../../src/fault.ts';
import type { MadeEntry } from '../../src/journal/journalSchema.ts';
import { offsetMs } from '../../src/plan/job.ts';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import { maySign } from '../../src/signing/roles.ts';
import { partHashes, type SignatureState, signaturesOf, signsOf, versionOf } from '../../src/signing/signatures.ts';
import type { Seen, Side } from '../../src/signing/signEntry.ts';
import { type SignBasis, type SignedText, signedText } from '../../src/signing/signedText.ts';
import { SUBJECTS, type SubjectName } from '../../src/signing/subjects.ts';
import { rigTimeText } from '../../src/time/rigTime.ts';
import type { LiveRun } from '../live/liveRun.ts';
import type { Named, People } from './people.ts';

/** Texts that were given out last: what was seen in them need not be sent back. */
const TEXTS_KNOWN = 64;

export const sha256 = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex');

export interface TextToSign {
  readonly signed: SignedText;
  readonly hash: string;
  readonly version: number;
}

export interface SignRequest {
  readonly subject: SubjectName;
  readonly of?: string | undefined;
  readonly as?: Side | undefined;
  /** Of the text that the person saw. */
  readonly hash: string;
}

/** What stands against a signature: a status of HTTP and one line. */
export class NotSigned extends Error {
  readonly status: 400 | 403 | 404 | 409;
  constructor(status: NotSigned['status'], line: string) {
    super(line);
    this.name = 'NotSigned';
    this.status = status;
  }
}

export class SignDesk {
  readonly people: People;
  readonly #nowMs: () => number;
  readonly #given = new Map<string, Seen | undefined>();

  constructor(people: People, nowMs: () => number) {
    this.people = people;
    this.#nowMs = nowMs;
  }

  /** @throws NotSigned: there is no run yet, or no such thing */
  text(live: LiveRun, subject: SubjectName, of: string | undefined): TextToSign {
    const basis = basisOf(live);
    const signed = signedText(subject, of ?? null, basis);
    if (!signed) throw noSuch(subject, of);
    const hash = sha256(signed.text);
    this.#given.delete(hash);
    this.#given.set(hash, signed.seen);
    if (this.#given.size > TEXTS_KNOWN) this.#given.delete(this.#given.keys().next().value!);
    return { signed, hash, version: versionOf(hash, signsOf(basis.entries, subject, of ?? null)) };
  }

  signatures(live: LiveRun): SignatureState[] {
    const record = live.record();
    return record ? signaturesOf(basisOn(live, record), sha256) : [];
  }

  /** @param person who was recognised by the secret @throws NotSigned; Fault of the journal */
  async sign(live: LiveRun, person: Named, request: SignRequest): Promise<SignatureState> {
    const { entry } = await live.enter((at) => this.#entry(live, person, request, at));
    const made = this.signatures(live).filter(({ atUtc, by }) => atUtc === entry.at && by === entry.by);
    invariant(made.length > 0, 'a signature that was entered is among those of the run');
    return made.at(-1)!;
  }

  /** Called between two samples. */
  #entry(live: LiveRun, { name, role }: Named, { subject, of, as, hash }: SignRequest, at: string): MadeEntry {
    if (!maySign(role, subject)) throw new NotSigned(403, `${name}: found ${role}, who does not sign ${subject}`);
    if ((SUBJECTS[subject].of === 'handover') !== (as !== undefined)) {
      throw new NotSigned(400, `as: found ${as ?? 'nothing'}, expected ${as ? 'nothing' : 'leaving or coming'}`);
    }
    const basis = basisOf(live);
    const signed = signedText(subject, of ?? null, basis, this.#given.get(hash));
    if (!signed) throw noSuch(subject, of);
    if (sha256(signed.text) !== hash) {
      throw new NotSigned(
        409,
        `${subject}: found another text now than the one that was seen, expected it to be read anew`,
      );
    }
    const signs = signsOf(basis.entries, subject, of ?? null);
    if (signs.some((one) => one.hash === hash && one.by === name)) {
      throw new NotSigned(409, `${subject}: found it signed by ${name} already, expected another person`);
    }
    return {
      by: name,
      action: 'sign',
      role,
      subject,
      ...(of === undefined ? {} : { of }),
      ...(as === undefined ? {} : { as }),
      version: versionOf(hash, signs),
      hash,
      parts: partHashes(signed.parts, sha256),
      ...(signed.seen ? { seen: signed.seen } : {}),
      rigTime: rigTimeText(Date.parse(at), offsetMs(live.plan.stream?.utcOffset ?? '+00:00')),
      signedAt: new Date(this.#nowMs()).toISOString(),
    };
  }
}

function basisOf(live: LiveRun): SignBasis {
  const record = live.record();
  if (!record) throw new NotSigned(409, 'found no sample yet, expected a run');
  return basisOn(live, record);
}

const basisOn = (live: LiveRun, record: RunRecord): SignBasis => ({
  plan: live.plan,
  record,
  entries: live.course().entries,
});

function noSuch(subject: SubjectName, of: string | undefined): NotSigned {
  const { of: kind } = SUBJECTS[subject];
  const found = of === undefined ? 'nothing' : JSON.stringify(of.slice(0, 64));
  const expected = kind === null ? 'nothing' : kind === 'joint' ? 'a joint of the plan' : 'the number of a handover';
  return new NotSigned(404, `of: found ${found}, expected ${expected}`);
}
