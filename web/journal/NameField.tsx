/** Who enters: asked once, kept in this browser. */
import { viewerName } from '../preferences.ts';

interface NameFieldProps {
  readonly testid: string;
  readonly focused: boolean;
}

export function NameField({ testid, focused }: NameFieldProps) {
  return (
    <label class="field">
      Your name, for the journal
      <input
        type="text"
        // biome-ignore lint/a11y/noAutofocus: in a dialog the focus belongs to what is to be done
        autoFocus={focused}
        required
        maxLength={100}
        autoComplete="off"
        value={viewerName.value}
        onInput={(event) => (viewerName.value = event.currentTarget.value)}
        data-testid={testid}
      />
    </label>
  );
}
