import { CAUTION } from '../../src/caution.ts';
import { TogetherLine } from '../together/TogetherLine.tsx';

/** The foot of the page: what must be kept in mind, and who looks at it together. */
export function Caution() {
  return (
    <footer class="foot">
      <p class="caution" data-testid="caution">
        {CAUTION} Well control comes first. Nothing is sent to the rig.
      </p>
      <TogetherLine />
    </footer>
  );
}
