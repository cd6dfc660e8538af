/** The size that an element has on the page, as a signal. */
import { type ReadonlySignal, useSignal } from '@preact/signals';
import type { RefObject } from 'preact';
import { useEffect } from 'preact/hooks';

export interface Size {
  readonly width: number;
  readonly height: number;
}

export function useElementSize(ref: RefObject<Element | null>): ReadonlySignal<Size> {
  const size = useSignal<Size>({ width: 0, height: 0 });
  useEffect(() => {
    const element = ref.current;
    if (!element) return;
    const observer = new ResizeObserver(([entry]) => {
      if (!entry) return;
      const width = Math.round(entry.contentRect.width);
      const height = Math.round(entry.contentRect.height);
      if (width !== size.peek().width || height !== size.peek().height) size.value = { width, height };
    });
    observer.observe(element);
    return () => observer.disconnect();
  }, [ref, size]);
  return size;
}
