/** The people who may sign: who they are, what each role signs, and how another is added. */
import { useSignal } from '@preact/signals';
import { z } from 'zod/mini';
import { SendingAnswer } from '../journal/SendingAnswer.tsx';
import type { Sending } from '../journal/sending.ts';
import { orderLibrary, saysOf } from '../library/askLibrary.ts';
import { askAnew, useAsked } from './papersState.ts';
import { SecretField } from './SignDialog.tsx';
import { type People, peopleSchema } from './signState.ts';

export function PeoplePart() {
  const [told, again] = useAsked(peopleSchema, () => '/api/people');
  const state = told.value;
  if (state.kind === 'asking') return <p class="papers-wait">Asking for the people…</p>;
  if (state.kind === 'failed') return <p class="papers-wait is-refused">The people are not known: {state.why}</p>;
  const { people, roles, kept } = state.what;
  return (
    <div class="subjects">
      <section class="subject">
        <h2>People who may sign</h2>
        {people.length === 0 && <p>Nobody yet: the first person is entered on the machine of the service itself.</p>}
        {!kept && <p>They are known until the service ends: it was started without --data FOLDER.</p>}
        <ul class="people" data-testid="people">
          {people.map(({ name, role }) => (
            <li key={name}>
              <b>{name}</b>, {role}
            </li>
          ))}
        </ul>
        <h3>What each role signs</h3>
        <dl class="roles">
          {roles.map(({ role, signs }) => (
            <div key={role}>
              <dt>{role}</dt>
              <dd>{signs.join(', ')}</dd>
            </div>
          ))}
        </dl>
      </section>
      <section class="subject">
        <h2>{people.length === 0 ? 'Enter the first person' : 'Add a person'}</h2>
        <AddForm key={people.length} known={state.what} added={again} />
      </section>
    </div>
  );
}

function AddForm({ known: { people, roles }, added }: { readonly known: People; readonly added: () => void }) {
  const sending = useSignal<Sending>({ kind: 'idle' });
  const [name, role, secret, byName, bySecret] = [
    useSignal(''),
    useSignal(roles[0]?.role ?? ''),
    useSignal(''),
    useSignal(''),
    useSignal(''),
  ];
  const submit = async (event: SubmitEvent) => {
    event.preventDefault();
    if (sending.peek().kind === 'sending') return;
    sending.value = { kind: 'sending' };
    const by = people.length === 0 ? {} : { by: { name: byName.peek().trim(), secret: bySecret.peek() } };
    const body = { name: name.peek().trim(), role: role.peek(), secret: secret.peek(), ...by };
    bySecret.value = '';
    try {
      await orderLibrary(z.object({ name: z.string() }), '/api/people', body);
      added();
      askAnew();
    } catch (fault) {
      sending.value = { kind: 'refused', why: saysOf(fault) };
    }
  };
  return (
    <form class="confirm-form" onSubmit={submit}>
      <WordField label="Name" value={name} testid="person-name" />
      <label class="field">
        Role
        <select
          value={role.value}
          onChange={(event) => (role.value = event.currentTarget.value)}
          data-testid="person-role"
        >
          {roles.map((one) => (
            <option key={one.role}>{one.role}</option>
          ))}
        </select>
      </label>
      <SecretField label="Secret of this person, at least 8 characters" value={secret} testid="person-secret" isNew />
      {people.length > 0 && (
        <>
          <WordField label="Who vouches: name of somebody who may sign" value={byName} testid="voucher-name" />
          <SecretField label="Secret of who vouches" value={bySecret} testid="voucher-secret" />
        </>
      )}
      <SendingAnswer sending={sending.value} />
      <button type="submit" class="confirm" data-testid="person-add" disabled={sending.value.kind === 'sending'}>
        {people.length === 0 ? 'Enter' : 'Add'}
      </button>
    </form>
  );
}

interface WordProps {
  readonly label: string;
  readonly value: { value: string };
  readonly testid: string;
}

function WordField({ label, value, testid }: WordProps) {
  return (
    <label class="field">
      {label}
      <input
        type="text"
        required
        maxLength={100}
        autoComplete="off"
        value={value.value}
        onInput={(event) => {
          value.value = event.currentTarget.value;
        }}
        data-testid={testid}
      />
    </label>
  );
}
