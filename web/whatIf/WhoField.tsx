/** Who keeps it: asked once, kept in this browser. */
import { KEPT_LIMITS } from '../../src/replay/keptScenario.ts';
import { viewerName } from '../preferences.ts';

export function WhoField({ testid }: { readonly testid: string }) {
  return (
    <label class="who-field">
      Your name{' '}
      <input
        data-testid={testid}
        required
        size={16}
        maxLength={KEPT_LIMITS.byChars}
        value={viewerName.value}
        onInput={({ currentTarget }) => (viewerName.value = currentTarget.value)}
      />
    </label>
  );
}
