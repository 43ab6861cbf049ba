import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { appWords } from '../words';

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

/** The values of a plot as a table, folded away; built only when opened. */
export function Twin({ table }: { table: () => ComponentChildren }) {
  const [open, setOpen] = useState(false);
  return (
    <details class="twin" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary class="small">{appWords.value.common.asTable}</summary>
      {open && table()}
    </details>
  );
}
