/** What the fillings of the liner and of the lanes beside it mean. */
const KINDS = [
  ['piece piece-expanded', 'expanded'],
  ['piece piece-unproven', 'unproven'],
  ['piece piece-gap', 'gap'],
  ['piece piece-not-reached', 'not reached'],
  ['lane-mark is-gained', 'gained'],
  ['lane-mark is-lost', 'lost'],
] as const;

export function LinerLegend() {
  return (
    <p class="depth-legend">
      {KINDS.map(([kind, says]) => (
        <span key={says}>
          <svg width="18" height="14" aria-hidden="true">
            <rect class={kind} x="1" y="1" width="16" height="12" />
          </svg>{' '}
          {says}
        </span>
      ))}
    </p>
  );
}
