/** Which dialog stands open. */
import { signal } from '@preact/signals';

export type DialogName =
  | 'none'
  | 'help'
  | 'source'
  | 'steps'
  | 'confirm'
  | 'what if'
  | 'passes'
  | 'beside'
  | 'sign'
  | JournalDialog;
/** Those of the journal, fetched when one is first opened. */
export type JournalDialog = 'notes' | 'acknowledge' | 'decide' | 'together';
export const openDialog = signal<DialogName>('none');
