/** Which dialog stands open. */
import { signal } from '@preact/signals';

export type DialogName = 'none' | 'help' | 'source' | 'steps' | 'confirm' | 'what if' | 'passes';
export const openDialog = signal<DialogName>('none');
