/** What a walk through a run found. */
import { decimal } from '../figures.ts';
import { Mark } from '../Mark.tsx';
import { doing } from './libraryState.ts';

export function VerifiedPart() {
  const state = doing.value;
  if (state.kind !== 'verified') return null;
  const { name, found } = state;
  const { whole, records, sealed, hash, problems, problemCount, holes, holeCount } = found;
  return (
    <section class="library-part" aria-label={`What was found in ${name}`} data-testid="verified">
      <h2>
        <Mark name={whole ? 'good' : 'high'} size={22} /> {name}:{' '}
        {whole ? 'whole' : `not whole, ${decimal(problemCount, 0)} ${problemCount === 1 ? 'place' : 'places'}`}
      </h2>
      <p>
        {decimal(records, 0)} records, {sealed ? 'closed and sealed' : 'not closed'}; chain{' '}
        <code>{hash.slice(0, 16) || 'empty'}</code>
      </p>
      <Lines lines={problems} count={problemCount} />
      {holeCount > 0 && <h3>Holes</h3>}
      <Lines lines={holes} count={holeCount} />
      <button type="button" onClick={() => (doing.value = { kind: 'none' })}>
        Close
      </button>
    </section>
  );
}

function Lines({ lines, count }: { readonly lines: readonly string[]; readonly count: number }) {
  if (lines.length === 0) return null;
  return (
    <ul class="library-lines">
      {lines.map((line) => (
        <li key={line}>{line}</li>
      ))}
      {count > lines.length && <li>{decimal(count - lines.length, 0)} more</li>}
    </ul>
  );
}
