import { CAUTION } from '../../src/caution.ts';

export function Caution() {
  return (
    <footer class="caution" data-testid="caution">
      {CAUTION} Well control comes first. Nothing is sent to the rig.
    </footer>
  );
}
