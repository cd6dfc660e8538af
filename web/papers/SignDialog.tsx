/** Signing: the exact text with its hash, who may sign it, and the person’s own name and secret. */
import { useSignal } from '@preact/signals';
import { z } from 'zod/mini';
import { Dialog } from '../frame/Dialog.tsx';
import { openDialog } from '../frame/dialogs.ts';
import { NameField } from '../journal/NameField.tsx';
import { SendingAnswer } from '../journal/SendingAnswer.tsx';
import type { Sending } from '../journal/sending.ts';
import { orderLibrary, saysOf } from '../library/askLibrary.ts';
import { viewerName } from '../preferences.ts';
import { apiOf } from '../recorded.ts';
import { askAnew, type Told, useAsked, useTold } from './papersState.ts';
import { nameOf, type People, peopleSchema, type ToSign, textSchema, toSign } from './signState.ts';

export function openSigning(what: ToSign): void {
  toSign.value = what;
  openDialog.value = 'sign';
}

export function SignDialog() {
  const what = toSign.value;
  return (
    <Dialog name="sign" title={what ? `Sign: ${nameOf(what)}` : 'Sign'}>
      {what && <Signing what={what} />}
    </Dialog>
  );
}

function textUrl({ subject, of }: ToSign): string {
  return `signed-text?${new URLSearchParams({ subject, ...(of === null ? {} : { of }) })}`;
}

function Signing({ what }: { readonly what: ToSign }) {
  // Asked for once: what is signed must be what was read.
  const [text, readAgain] = useAsked(textSchema, () => apiOf(textUrl(what)));
  const people = useTold(peopleSchema, () => '/api/people');
  const told: Told<z.infer<typeof textSchema>> = text.value;
  if (told.kind === 'asking') return <p>Writing the text that is signed…</p>;
  if (told.kind === 'failed') return <p class="confirm-answer">There is nothing to sign: {told.why}</p>;
  const { version, hash, text: words } = told.what;
  return (
    <>
      <p>
        What is signed, to the letter: version {version}, SHA-256 <code data-testid="sign-hash">{hash}</code>
      </p>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keyboard */}
      <pre class="signed-text" tabIndex={0} data-testid="sign-text">
        {words}
      </pre>
      <p class="papers-small" data-testid="sign-may">
        {people.value.kind === 'here' ? mayWords(what, people.value.what) : ' '}
      </p>
      <SignForm key={hash} what={what} hash={hash} readAgain={readAgain} />
    </>
  );
}

/** Who may sign this: roles, and those people who have one. */
function mayWords({ subject }: ToSign, { people, roles }: People): string {
  const may = roles.filter(({ signs }) => signs.includes(subject)).map(({ role }) => role);
  const who = people.filter(({ role }) => may.includes(role)).map(({ name }) => name);
  const named = who.length > 0 ? `Of the people known here: ${who.join(', ')}.` : 'None of them is known here yet.';
  return `Signed by: ${may.join(', ')}. ${named}`;
}

interface FormProps {
  readonly what: ToSign;
  readonly hash: string;
  readonly readAgain: () => void;
}

function SignForm({ what, hash, readAgain }: FormProps) {
  const sending = useSignal<Sending>({ kind: 'idle' });
  const secret = useSignal('');
  const submit = async (event: SubmitEvent) => {
    event.preventDefault();
    if (sending.peek().kind === 'sending') return;
    sending.value = { kind: 'sending' };
    const { subject, of, as } = what;
    const claim = { name: viewerName.peek().trim(), secret: secret.peek() };
    secret.value = '';
    try {
      const body = { ...claim, subject, hash, ...(of === null ? {} : { of }), ...(as === undefined ? {} : { as }) };
      await orderLibrary(z.object({ number: z.number() }), apiOf('sign'), body);
      openDialog.value = 'none';
      askAnew();
    } catch (fault) {
      sending.value = { kind: 'refused', why: saysOf(fault) };
    }
  };
  return (
    <form class="confirm-form sign-form" onSubmit={submit}>
      <NameField testid="sign-name" focused={false} />
      <SecretField label="Your own secret" value={secret} testid="sign-secret" />
      <SendingAnswer sending={sending.value} />
      <div class="papers-orders">
        <button type="submit" class="confirm" data-testid="sign-send" disabled={sending.value.kind === 'sending'}>
          Sign it
        </button>
        <button type="button" data-testid="sign-again" onClick={readAgain}>
          Read it anew
        </button>
      </div>
    </form>
  );
}

interface SecretProps {
  readonly label: string;
  readonly value: { value: string };
  readonly testid: string;
  readonly isNew?: boolean;
}

/** Held in memory until it is sent, never kept. */
export function SecretField({ label, value, testid, isNew = false }: SecretProps) {
  return (
    <label class="field">
      {label}
      <input
        type="password"
        required
        minLength={isNew ? 8 : 1}
        maxLength={200}
        autoComplete={isNew ? 'new-password' : 'off'}
        value={value.value}
        onInput={(event) => {
          value.value = event.currentTarget.value;
        }}
        data-testid={testid}
      />
    </label>
  );
}
