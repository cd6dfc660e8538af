/** What there is to sign on this run, what stands of it, and what is missing. */
import { Mark } from '../Mark.tsx';
import { apiOf } from '../recorded.ts';
import { JOINTS_PART } from './papersAddress.ts';
import { choose, useTold } from './papersState.ts';
import { SignatureList } from './SignatureList.tsx';
import { openSigning } from './SignDialog.tsx';
import { type Signature, type Signatures, type Subject, signaturesSchema } from './signState.ts';

export function SignPart() {
  const state = useTold(signaturesSchema, () => apiOf('signatures')).value;
  if (state.kind === 'asking') return <p class="papers-wait">Asking for the signatures…</p>;
  if (state.kind === 'failed') return <p class="papers-wait is-refused">The signatures are not known: {state.why}</p>;
  const { subjects, signatures } = state.what;
  return (
    <div class="subjects" data-testid="subjects">
      {subjects
        .filter(({ of }) => of === null)
        .map((subject) => (
          <SubjectCard key={subject.subject} subject={subject} of={null} signatures={signatures} />
        ))}
      <Several told={state.what} />
    </div>
  );
}

/** Of joints and handovers those that somebody has signed; where to sign others. */
function Several({ told: { subjects, signatures } }: { readonly told: Signatures }) {
  return subjects
    .filter(({ of }) => of !== null)
    .map((subject) => {
      const which = [...new Set(signatures.filter((one) => one.subject === subject.subject).map(({ of }) => of))];
      return (
        <section class="subject" key={subject.subject}>
          <h2>Each {subject.subject}</h2>
          <p>{subject.says}</p>
          {which.length === 0 && <p class="papers-small">None is signed yet.</p>}
          {subject.of === 'joint' && (
            <button type="button" onClick={() => choose({ part: JOINTS_PART, of: '' })}>
              A joint is signed on its sheet
            </button>
          )}
          {which.map((of) => (
            <SubjectCard key={of} subject={subject} of={of} signatures={signatures} />
          ))}
        </section>
      );
    });
}

interface CardProps {
  readonly subject: Subject;
  readonly of: string | null;
  readonly signatures: readonly Signature[];
}

function SubjectCard({ subject, of, signatures }: CardProps) {
  const its = signatures.filter((one) => one.subject === subject.subject && one.of === of);
  const Heading = of === null ? 'h2' : 'h3';
  return (
    <section class="subject" data-testid={`subject-${subject.subject}${of === null ? '' : `-${of}`}`}>
      <header>
        <Heading>{of === null ? upperFirst(subject.subject) : of}</Heading>
        <Standing needed={subject.signatures} its={its} />
        {subject.of !== 'handover' && <SignButton what={{ subject: subject.subject, of }} />}
      </header>
      {of === null && <p>{subject.says}</p>}
      <SignatureList signatures={its} />
    </section>
  );
}

const upperFirst = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

export function SignButton({ what }: { readonly what: { readonly subject: string; readonly of: string | null } }) {
  return (
    <button type="button" data-testid={`sign-${what.subject}`} onClick={() => openSigning(what)}>
      Sign…
    </button>
  );
}

/** How far it is signed: different people whose signatures hold. */
export function Standing({ needed, its }: { readonly needed: number; readonly its: readonly Signature[] }) {
  const holding = new Set(its.filter(({ holds }) => holds.kind === 'holds').map(({ by }) => by)).size;
  const broken = its.length > 0 && holding === 0;
  const words = broken
    ? 'no signature holds'
    : its.length === 0
      ? `not signed, ${needed} needed`
      : `${holding} of ${needed} signed`;
  return (
    <p class="standing" data-testid="standing">
      <Mark name={holding >= needed ? 'good' : broken ? 'bad' : 'open'} size={18} /> {words}
    </p>
  );
}
