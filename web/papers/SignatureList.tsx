/** Signatures of one subject: who, when by both clocks, of what; whether each holds, and if not, what broke it. */
import { Mark } from '../Mark.tsx';
import type { Signature } from './signState.ts';

/** `2031-05-12 14:02:11 +02:00`, as the service writes instants. */
const instantText = (iso: string): string => iso.replace('T', ' ').replace(/\.\d+/, '').replace('Z', ' UTC');
const rigText = (iso: string): string => instantText(iso).replace(/([+-]\d\d:\d\d)$/, ' $1');

const HASH_SHOWN = 16;
const PARTS_SHOWN = 4;

export function SignatureList({ signatures }: { readonly signatures: readonly Signature[] }) {
  return (
    <ul class="signatures">
      {signatures.map((signature) => (
        <SignatureItem key={signature.number} signature={signature} />
      ))}
    </ul>
  );
}

function SignatureItem({ signature }: { readonly signature: Signature }) {
  const { by, role, as, version, hash, signedAt, rigTime, holds } = signature;
  return (
    <li data-testid="signature" data-holds={holds.kind}>
      <p>
        <Mark name={holds.kind === 'holds' ? 'good' : 'bad'} size={18} />{' '}
        <b>{holds.kind === 'holds' ? 'Signed' : 'Was signed'}</b> by {by}, {role}
        {as && ` (${as})`}, version {version}
      </p>
      <p class="papers-small">
        {instantText(signedAt)}, rig time {rigText(rigTime)}, SHA-256{' '}
        <code title={hash}>{hash.slice(0, HASH_SHOWN)}…</code>
      </p>
      {holds.kind === 'broken' && <p class="is-refused">{brokenWords(holds)}</p>}
    </li>
  );
}

function brokenWords({ since, cause, parts }: Extract<Signature['holds'], { kind: 'broken' }>): string {
  const more = parts.length > PARTS_SHOWN ? ` and ${parts.length - PARTS_SHOWN} more` : '';
  const what = `${parts.slice(0, PARTS_SHOWN).join(', ')}${more}`;
  if (cause.kind === 'readings') return `Broken by readings that came later: ${what}`;
  return `Broken at ${instantText(since)} by “${cause.action}” of ${cause.by}: ${what}`;
}
