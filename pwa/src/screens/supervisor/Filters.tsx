/** The row of choices over a list, and what stands in the list's place when they leave nothing. */
import type { ComponentChildren } from 'preact';
import { cropKey } from '../../../../sync/bed/crop';
import { Button } from '../../parts/Button';

export function Filters({ count, children }: { count: string; children: ComponentChildren }) {
  return (
    <form class="filters" onSubmit={(event) => event.preventDefault()}>
      {children}
      <output class="small quiet">{count}</output>
    </form>
  );
}

interface PickProps<V extends string> {
  label: string;
  options: readonly { value: V; label: string }[];
  value: V;
  onPick: (value: V) => void;
}

export function Pick<V extends string>({ label, options, value, onPick }: PickProps<V>) {
  return (
    <label>
      <span>{label}</span>
      <select value={value} onChange={(event) => onPick(event.currentTarget.value as V)}>
        {options.map((option) => (
          <option key={option.value} value={option.value}>
            {option.label}
          </option>
        ))}
      </select>
    </label>
  );
}

/** Crops as choices by their keys, after one for all of them. */
export function cropsOf(crops: readonly string[], all: string): { value: string; label: string }[] {
  const known = new Map(crops.filter(Boolean).map((crop) => [cropKey(crop), crop]));
  const options = [...known].map(([value, label]) => ({ value, label })).sort((a, b) => a.label.localeCompare(b.label));
  return [{ value: '', label: all }, ...options];
}

export function NoneMatch({ said, clear, onClear }: { said: string; clear: string; onClear: () => void }) {
  return (
    <div class="empty">
      <p>{said}</p>
      <Button onClick={onClear}>{clear}</Button>
    </div>
  );
}
