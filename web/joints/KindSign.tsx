/** A joint's kind as a form: the same forms as on the drawn liner, small. */
import type { JointKind } from '../../src/plan/planSchema.ts';

const FORMS: Readonly<Record<JointKind, string>> = {
  hanger: 'M6 1h4v14H6zM6 3L2 8h4M10 3l4 5h-4',
  isolation: 'M4 1h8v14H4zM2 4h12M2 8h12M2 12h12',
  screen: 'M4 1h8v14H4zM4 3h8M4 5.400h8M4 7.800h8M4 10.200h8M4 12.600h8',
  blank: 'M5 1h6v14H5z',
  shoe: 'M4 1h8v9c0 3-4 5-4 5s-4-2-4-5z',
};

export function KindSign({ kind }: { readonly kind: JointKind }) {
  return (
    <svg class="kind-sign" width="16" height="16" viewBox="0 0 16 16" aria-hidden="true">
      <path d={FORMS[kind]} />
    </svg>
  );
}
