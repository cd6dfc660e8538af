/** The address that leads here, to be copied and sent. */
export function LinkField({ hash }: { readonly hash: string }) {
  return (
    <label class="link-field">
      Link{' '}
      <input
        type="text"
        readOnly
        data-testid="link"
        value={location.origin + location.pathname + hash}
        onFocus={({ currentTarget }) => currentTarget.select()}
      />
    </label>
  );
}
