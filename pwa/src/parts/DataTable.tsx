import type { AriaRole, ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { appWords } from '../words';
import { Button } from './Button';
import { useOverflow } from './overflow';

export interface Column<Row> {
  key: string;
  title: string;
  cell: (row: Row) => ComponentChildren;
  numeric?: boolean;
  /** Keeps the cell on one line: times, places, short names. */
  whole?: boolean;
  /** Makes the column sortable by this. */
  by?: (row: Row) => number | string;
  /** The cell that names its row; it stays in view while the others scroll sideways. */
  heads?: boolean;
  /** Long text: in a compact row it is placed below the other cells. */
  long?: boolean;
  /** Left out of a row that is stacked, where what the others say is enough. */
  wideOnly?: boolean;
  /** Buttons alone, which paper has no use for. */
  offPaper?: boolean;
}

interface Props<Row> {
  caption: string;
  captionUnseen?: boolean;
  columns: readonly Column<Row>[];
  rows: readonly Row[];
  keyOf: (row: Row) => string;
  rowClass?: (row: Row) => string;
  /** On a small screen each row becomes a list of its columns' titles and cells, or compact: short cells in a line, the long one below. */
  stacks?: boolean | 'compact';
  /** Left out where all rows are here and are sorted here. */
  order?: Order;
}

export interface Sort {
  key: string;
  down: boolean;
}

/** Rows that come sorted from elsewhere, of which these may be one page. */
export interface Order {
  sort: Sort | undefined;
  onSort: (sort: Sort | undefined) => void;
}

/** A table that sorts by its headings, and on a small screen scrolls sideways inside itself unless its rows are stacked. */
export function DataTable<Row>({ caption, captionUnseen, columns, rows, keyOf, rowClass, stacks, order }: Props<Row>) {
  const [own, setOwn] = useState<Sort | undefined>(undefined);
  const [sort, setSort] = order ? [order.sort, order.onSort] : [own, setOwn];
  const by = order ? undefined : columns.find((column) => column.key === sort?.key)?.by;
  const shown = by ? [...rows].sort((a, b) => (sort?.down ? -1 : 1) * compare(by(a), by(b))) : rows;
  const press = (key: string) => setSort({ key, down: sort?.key === key && !sort.down });
  const [scroller, overflows] = useOverflow<HTMLDivElement>();
  // What is laid out as no table is one only by its roles.
  const role = (name: AriaRole) => (stacks ? { role: name } : {});
  return (
    <>
      {stacks && rows.length > 1 && <SortBy columns={columns} sort={sort} onSort={setSort} />}
      {overflows && (
        <p class="sideways small" aria-hidden="true">
          {appWords.value.common.sideways} →
        </p>
      )}
      <div
        ref={scroller}
        class={`table ${stacks ? 'stacks' : ''} ${stacks === 'compact' ? 'compact' : ''}`}
        role="region"
        aria-label={caption}
        tabIndex={0}
      >
        <table {...role('table')}>
          <caption class={captionUnseen ? 'unseen' : ''}>{caption}</caption>
          <thead {...role('rowgroup')}>
            <tr {...role('row')}>
              {columns.map((column) => (
                <th
                  key={column.key}
                  scope="col"
                  {...role('columnheader')}
                  class={shape({ ...column, whole: false })}
                  aria-sort={sort?.key === column.key ? (sort.down ? 'descending' : 'ascending') : undefined}
                >
                  {column.by && stacks && <span class="unsorted">{column.title}</span>}
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
                      {stacks ? <div>{column.cell(row)}</div> : column.cell(row)}
                    </td>
                  ),
                )}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}

interface SortProps<Row> {
  columns: readonly Column<Row>[];
  sort: Sort | undefined;
  onSort: (sort: Sort | undefined) => void;
}

/** Sorts rows that are stacked: their headings, which sort them on a wide screen, are then out of sight. */
function SortBy<Row>({ columns, sort, onSort }: SortProps<Row>) {
  const words = appWords.value.common;
  const sortable = columns.filter((column) => column.by);
  if (sortable.length === 0) return null;
  return (
    <div class="sortby">
      <label>
        <span>{words.sortBy}</span>
        <select
          value={sort?.key ?? ''}
          onChange={({ currentTarget: { value } }) => onSort(value === '' ? undefined : { key: value, down: false })}
        >
          <option value="">{words.asListed}</option>
          {sortable.map(({ key, title }) => (
            <option key={key} value={key}>
              {title}
            </option>
          ))}
        </select>
      </label>
      {sort && <Button onClick={() => onSort({ ...sort, down: !sort.down })}>{words.turnRound}</Button>}
    </div>
  );
}

function shape<Row>({ numeric, whole, heads, wideOnly, offPaper, long }: Column<Row>): string {
  const all = { numeric, nowrap: whole, heads, long, 'wide-only': wideOnly, 'off-paper': offPaper };
  return Object.entries(all)
    .flatMap(([name, is]) => (is ? [name] : []))
    .join(' ');
}

/** One order whatever the language, for weeks, ids and keys, of tables that begin in it. */
export function byCode(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

function compare(a: number | string, b: number | string): number {
  if (typeof a === 'number' && typeof b === 'number') return a - b;
  return String(a).localeCompare(String(b), undefined, { numeric: true });
}
