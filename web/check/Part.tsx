/** One part of the check under its heading, to which the buttons at the top lead. */
import type { ComponentChildren } from 'preact';

interface PartProps {
  readonly id: string;
  readonly title: string;
  readonly children: ComponentChildren;
}

export function Part({ id, title, children }: PartProps) {
  return (
    <section class={`panel check-part check-part-${id}`} aria-labelledby={`check-${id}`} data-testid={`check-${id}`}>
      <h2 id={`check-${id}`} tabIndex={-1}>
        {title}
      </h2>
      {children}
    </section>
  );
}
