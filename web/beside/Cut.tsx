/** An inner drawing: what stands outside the stretch that is shown is cut off. The tables say in words what is drawn in it. */
import type { ComponentChildren } from 'preact';

interface CutProps {
  readonly x?: number;
  readonly y?: number;
  readonly width: number;
  readonly height: number;
  readonly children: ComponentChildren;
}

export function Cut({ x = 0, y = 0, width, height, children }: CutProps) {
  return (
    <svg x={x} y={y} width={Math.max(0, width)} height={height} aria-hidden="true">
      {children}
    </svg>
  );
}
