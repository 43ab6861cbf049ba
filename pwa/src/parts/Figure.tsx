import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { t } from '../words';

interface Props {
  /** What the plot shows, as a sentence: the finding, not the kind of plot. */
  caption: ComponentChildren;
  children: ComponentChildren;
  /** The same values as a table; built only when asked for. */
  table?: () => ComponentChildren;
}

/** A plot with its caption and, one press away, its values as a table. */
export function Figure({ caption, children, table }: Props) {
  const [open, setOpen] = useState(false);
  return (
    <figure class="figure">
      {children}
      <figcaption class="small quiet">{caption}</figcaption>
      {table && (
        <details class="twin" onToggle={(event) => setOpen(event.currentTarget.open)}>
          <summary class="small">{t.value.common.asTable}</summary>
          {open && table()}
        </details>
      )}
    </figure>
  );
}
