import { Mark } from '../Mark.tsx';
import type { Sending } from './sending.ts';

/** Told at once to those who listen. */
export function SendingAnswer({ sending }: { readonly sending: Sending }) {
  return (
    <p class="confirm-answer" role="status">
      {sending.kind === 'refused' && (
        <>
          <Mark name="bad" size={18} /> Not entered: {sending.why}
        </>
      )}
    </p>
  );
}
