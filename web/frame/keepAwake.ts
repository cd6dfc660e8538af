/** Keeps the screen from going dark while the page is in view, where the browser can. */

/** A browser may refuse, for example on low battery: the page then works as ever. */
async function ask(): Promise<void> {
  if (document.visibilityState !== 'visible') return;
  try {
    await navigator.wakeLock.request('screen');
  } catch (fault) {
    console.info(`the screen may go dark: ${String(fault)}`);
  }
}

export function keepAwake(): void {
  if (!('wakeLock' in navigator)) return;
  document.addEventListener('visibilitychange', () => void ask());
  void ask();
}
