/**
 * Fingers on the tracks: one drags the shown time, two pinch it, a tap places the cursor. The mouse is left to the
 * charts (drag selects), but for the wheel with Ctrl or a pinch on a touch pad, which zooms.
 */
import type { TracesView } from './tracesView.ts';

const TAP_PX = 8;
const WHEEL_ZOOM = 1.0015;

export function followPointers(area: HTMLElement, view: TracesView): () => void {
  const stop = new AbortController();
  const on = { signal: stop.signal, capture: true } as const;
  const fingers = new Map<number, { x: number; startX: number }>();
  const spread = (): [middle: number, apart: number] => {
    const [a, b] = [...fingers.values()];
    return [(a!.x + b!.x) / 2, Math.max(10, Math.abs(a!.x - b!.x))];
  };

  area.addEventListener(
    'pointerdown',
    (event) => {
      if (event.pointerType === 'mouse') view.clearCursor();
      else fingers.set(event.pointerId, { x: event.clientX, startX: event.clientX });
    },
    on,
  );
  area.addEventListener(
    'pointermove',
    (event) => {
      const finger = fingers.get(event.pointerId);
      if (!finger) return;
      const before = fingers.size === 2 ? spread() : undefined;
      const by = event.clientX - finger.x;
      finger.x = event.clientX;
      if (before) {
        const [middle, apart] = spread();
        view.zoomAt(middle, before[1] / apart);
      } else if (Math.abs(event.clientX - finger.startX) > TAP_PX) {
        view.dragBy(by);
      }
    },
    on,
  );
  const lift = (event: PointerEvent) => {
    const finger = fingers.get(event.pointerId);
    if (!finger) return;
    fingers.delete(event.pointerId);
    const tapped = event.type === 'pointerup' && Math.abs(event.clientX - finger.startX) <= TAP_PX;
    if (!tapped || fingers.size > 0) return;
    area.focus({ preventScroll: true });
    view.placeCursor(event.clientX);
  };
  area.addEventListener('pointerup', lift, on);
  area.addEventListener('pointercancel', lift, on);
  // Without this the browser plays mouse events after a tap, which would take the placed cursor away again.
  area.addEventListener('touchend', (event) => event.cancelable && event.preventDefault(), { ...on, passive: false });
  area.addEventListener(
    'wheel',
    (event) => {
      if (!event.ctrlKey && !event.metaKey) return;
      event.preventDefault();
      view.zoomAt(event.clientX, WHEEL_ZOOM ** event.deltaY);
    },
    { ...on, passive: false },
  );
  return () => stop.abort();
}
