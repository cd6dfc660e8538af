/** A dialog of the browser's own: focus is held in it, Escape closes it. */
import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { type DialogName, openDialog } from './dialogs.ts';

interface DialogProps {
  readonly name: DialogName;
  readonly title: string;
  readonly children: ComponentChildren;
}

export function Dialog({ name, title, children }: DialogProps) {
  const ref = useRef<HTMLDialogElement>(null);
  const open = openDialog.value === name;
  useEffect(() => {
    const dialog = ref.current;
    if (open && dialog && !dialog.open) dialog.showModal();
    if (!open && dialog?.open) dialog.close();
  }, [open]);
  const close = () => {
    if (openDialog.peek() === name) openDialog.value = 'none';
  };
  return (
    <dialog ref={ref} class="dialog" aria-label={title} onClose={close} data-testid={`dialog-${name}`}>
      {open && (
        <>
          <header>
            <h2>{title}</h2>
            <button type="button" onClick={close}>
              Close
            </button>
          </header>
          {children}
        </>
      )}
    </dialog>
  );
}
