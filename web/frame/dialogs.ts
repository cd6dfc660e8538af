/** Which dialog stands open. */
import { signal } from '@preact/signals';

export type DialogName = 'none' | 'help' | 'source';
export const openDialog = signal<DialogName>('none');
