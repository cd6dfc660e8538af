/** Which dialog stands open. */
import { signal } from '@preact/signals';

export type DialogName = 'none' | 'help' | 'source' | 'steps' | 'confirm' | 'what if' | 'passes' | 'beside';
export const openDialog = signal<DialogName>('none');
