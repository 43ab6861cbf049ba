import type { ComponentChildren } from 'preact';
import { Twin } from './Twin';

interface Props {
  /** What the plot shows, as a sentence: the finding, not the kind of plot. */
  caption: ComponentChildren;
  children: ComponentChildren;
  /** The same values as a table. */
  table?: () => ComponentChildren;
}

/** A plot with its caption and, one press away, its values as a table. */
export function Figure({ caption, children, table }: Props) {
  return (
    <figure class="figure">
      {children}
      <figcaption class="small quiet">{caption}</figcaption>
      {table && <Twin table={table} />}
    </figure>
  );
}
