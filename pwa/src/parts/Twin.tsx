import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { appWords } from '../words';

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
