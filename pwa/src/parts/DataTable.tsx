import type { AriaRole, ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';

export interface Column<Row> {
  key: string;
  title: string;
  cell: (row: Row) => ComponentChildren;
  numeric?: boolean;
  /** Keeps the cell on one line: times, places, short names. */
  whole?: boolean;
  /** Makes the column sortable by this. */
  by?: (row: Row) => number | string;
  /** The cell that names its row. */
  heads?: boolean;
}

interface Props<Row> {
  caption: string;
  captionUnseen?: boolean;
  columns: readonly Column<Row>[];
  rows: readonly Row[];
  keyOf: (row: Row) => string;
  rowClass?: (row: Row) => string;
  /** On a small screen each row becomes a list of its columns' titles and cells. Such a table is not sorted. */
  stacks?: boolean;
}

/** A table that sorts by its headings, and on a small screen scrolls sideways inside itself unless its rows are stacked. */
export function DataTable<Row>({ caption, captionUnseen, columns, rows, keyOf, rowClass, stacks }: Props<Row>) {
  const [sort, setSort] = useState<{ key: string; down: boolean } | undefined>(undefined);
  const by = columns.find((column) => column.key === sort?.key)?.by;
  const shown = by ? [...rows].sort((a, b) => (sort?.down ? -1 : 1) * compare(by(a), by(b))) : rows;
  const press = (key: string) => setSort((now) => ({ key, down: now?.key === key && !now.down }));
  // What is laid out as no table is one only by its roles.
  const role = (name: AriaRole) => (stacks ? { role: name } : {});
  return (
    <div class={`table ${stacks ? 'stacks' : ''}`} role="region" aria-label={caption} tabIndex={0}>
      <table {...role('table')}>
        <caption class={captionUnseen ? 'unseen' : ''}>{caption}</caption>
        <thead {...role('rowgroup')}>
          <tr {...role('row')}>
            {columns.map((column) => (
              <th
                key={column.key}
                scope="col"
                {...role('columnheader')}
                class={column.numeric ? 'numeric' : ''}
                aria-sort={sort?.key === column.key ? (sort.down ? 'descending' : 'ascending') : undefined}
              >
                {column.by ? (
                  <button type="button" onClick={() => press(column.key)}>
                    {column.title}
                    <span aria-hidden="true">{sort?.key === column.key ? (sort.down ? ' ↓' : ' ↑') : ''}</span>
                  </button>
                ) : (
                  column.title
                )}
              </th>
            ))}
          </tr>
        </thead>
        <tbody {...role('rowgroup')}>
          {shown.map((row) => (
            <tr key={keyOf(row)} class={rowClass?.(row) ?? ''} {...role('row')}>
              {columns.map((column) =>
                column.heads ? (
                  <th key={column.key} scope="row" class={shape(column)} {...role('rowheader')}>
                    {column.cell(row)}
                  </th>
                ) : (
                  <td key={column.key} class={shape(column)} data-title={column.title} {...role('cell')}>
                    {column.cell(row)}
                  </td>
                ),
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function shape<Row>(column: Column<Row>): string {
  return [column.numeric ? 'numeric' : '', column.whole ? 'nowrap' : ''].filter(Boolean).join(' ');
}

function compare(a: number | string, b: number | string): number {
  if (typeof a === 'number' && typeof b === 'number') return a - b;
  return String(a).localeCompare(String(b), undefined, { numeric: true });
}
