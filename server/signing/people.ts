/**
 * The people who may sign, and whether somebody is one of them. One question at a time: each takes a part of a second of one
 * core and 32 MiB, and tries of one name are counted in order.
 */
import type { RoleName } from '../../src/signing/roles.ts';
import { Attempts } from './attempts.ts';
import { PEOPLE_LIMITS, type Person, readPeople, writePeople } from './peopleFile.ts';
import { hashSecret, isSecret, type SecretHash } from './secretHash.ts';

export interface PeopleOptions {
  /** Left out: they are known for as long as the service runs. */
  readonly path?: string | undefined;
  readonly nowMs: () => number;
  /** Of the hashes that are made from now on; left out: as `hashSecret` has it. */
  readonly cost?: { readonly N: number; readonly r: number; readonly p: number } | undefined;
}

export interface Named {
  readonly name: string;
  readonly role: RoleName;
}

export interface NewPerson extends Named {
  readonly secret: string;
  readonly addedBy: string | null;
  /** Whether it may only be the first one: nobody vouches for this person. */
  readonly mustBeFirst: boolean;
}

export type Added =
  | { readonly kind: 'added'; readonly person: Named }
  | { readonly kind: 'known already' }
  | { readonly kind: 'not the first' }
  | { readonly kind: 'too many' };

export type Recognised =
  | { readonly kind: 'person'; readonly person: Named }
  /** Whether it was the name or the secret is not said. */
  | { readonly kind: 'nobody' }
  | { readonly kind: 'wait'; readonly waitMs: number }
  | { readonly kind: 'busy' };

/** Questions that wait at most; each is done in a part of a second. */
const MOST_WAITING = 20;

/** Names that differ in nothing that one would hear are one name. */
const keyOf = (name: string): string => name.normalize('NFKC').trim().replace(/\s+/gu, ' ').toLowerCase();
/** All names that nobody has are one in counting tries: none of a person is empty. */
const NOBODY = '';

export class People {
  readonly #options: PeopleOptions;
  readonly #people: Person[];
  readonly #attempts: Attempts;
  /** Nobody's, made when it is first needed: a name that is not there takes as long as one that is. */
  #decoy: SecretHash | undefined;
  #last: Promise<unknown> = Promise.resolve();
  #waiting = 0;

  private constructor(options: PeopleOptions, people: Person[]) {
    this.#options = options;
    this.#people = people;
    this.#attempts = new Attempts(options.nowMs);
  }

  /** @throws Fault where the file is there and cannot be used */
  static async open(options: PeopleOptions): Promise<People> {
    return new People(options, options.path === undefined ? [] : await readPeople(options.path));
  }

  get isKept(): boolean {
    return this.#options.path !== undefined;
  }

  /** In the order in which they were entered. */
  list(): Named[] {
    return this.#people.map(({ name, role }) => ({ name, role }));
  }

  /** @throws Fault `cannot write`: then nobody was added */
  add({ name, role, secret, addedBy, mustBeFirst }: NewPerson): Promise<Added> {
    return this.#oneAtATime(async (): Promise<Added> => {
      if (mustBeFirst && this.#people.length > 0) return { kind: 'not the first' };
      if (this.#find(name)) return { kind: 'known already' };
      if (this.#people.length >= PEOPLE_LIMITS.people) return { kind: 'too many' };
      const added = new Date(this.#options.nowMs()).toISOString();
      const person: Person = { name, role, added, addedBy, secret: await hashSecret(secret, this.#options.cost) };
      const { path } = this.#options;
      if (path !== undefined) await writePeople(path, [...this.#people, person]);
      this.#people.push(person);
      return { kind: 'added', person: { name, role } };
    });
  }

  async recognise(name: string, secret: string): Promise<Recognised> {
    if (this.#waiting >= MOST_WAITING) return { kind: 'busy' };
    return this.#oneAtATime(async (): Promise<Recognised> => {
      const person = this.#find(name);
      const who = person ? keyOf(person.name) : NOBODY;
      const waitMs = this.#attempts.waitMs(who);
      if (waitMs > 0) return { kind: 'wait', waitMs };
      if (!person) this.#decoy ??= await hashSecret('nobody', this.#options.cost);
      const right = await isSecret(secret, person?.secret ?? this.#decoy!);
      if (!person || !right) {
        this.#attempts.wrong(who);
        return { kind: 'nobody' };
      }
      this.#attempts.right(who);
      return { kind: 'person', person: { name: person.name, role: person.role } };
    });
  }

  #find(name: string): Person | undefined {
    const key = keyOf(name);
    return this.#people.find((person) => keyOf(person.name) === key);
  }

  #oneAtATime<Outcome>(work: () => Promise<Outcome>): Promise<Outcome> {
    this.#waiting += 1;
    const outcome = this.#last.then(work);
    const done = () => {
      this.#waiting -= 1;
    };
    this.#last = outcome.then(done, done);
    return outcome;
  }
}
