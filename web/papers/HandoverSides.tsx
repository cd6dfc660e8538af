/** Who leaves and who comes, each with a signature, or a way to give it. */
import { SIDES } from '../../src/signing/signEntry.ts';
import { apiOf } from '../recorded.ts';
import { useTold } from './papersState.ts';
import { SignatureList } from './SignatureList.tsx';
import { openSigning } from './SignDialog.tsx';
import { signaturesSchema } from './signState.ts';

export function HandoverSides({ number }: { readonly number: number }) {
  const state = useTold(signaturesSchema, () => apiOf('signatures')).value;
  if (state.kind === 'asking') return <p>Asking for the signatures…</p>;
  if (state.kind === 'failed') return <p class="is-refused">The signatures are not known: {state.why}</p>;
  const of = String(number);
  const its = state.what.signatures.filter((one) => one.subject === 'handover' && one.of === of);
  return SIDES.map((side) => {
    const own = its.filter(({ as }) => as === side);
    return (
      <section class="shift-card" key={side} data-testid={`side-${side}`}>
        <h2>Who is {side}</h2>
        <SignatureList signatures={own} />
        {!own.some(({ holds }) => holds.kind === 'holds') && (
          <button
            type="button"
            data-testid={`sign-${side}`}
            onClick={() => openSigning({ subject: 'handover', of, as: side })}
          >
            {own.length === 0 ? 'Sign…' : 'Sign it anew…'}
          </button>
        )}
      </section>
    );
  });
}
