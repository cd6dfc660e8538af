/** Parts of the papers as they stand in addresses. */
export const HANDOVER_PART = 'handover';
export const TIME_PART = 'time';
export const TOGETHER_PART = 'together';
export const FILES_PART = 'files';
