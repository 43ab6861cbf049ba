/** The row of choices over a list, and what stands in the list's place when they leave nothing. */
import type { ComponentChildren } from 'preact';
import { cropKey } from '../../../../sync/bed/crop';
import { Button } from '../../parts/Button';
import { supervisorWords } from '../../words/supervisor';
import { nameOfCrop } from '../../words/names';

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

interface CropPickProps {
  crops: readonly string[];
  value: string;
  onPick: (crop: string) => void;
}

/** The crops of a list by their keys, after one choice for all of them. */
export function CropPick({ crops, value, onPick }: CropPickProps) {
  const words = supervisorWords.value.pages.overview;
  const known = new Map(crops.filter(Boolean).map((crop) => [cropKey(crop), nameOfCrop(crop)]));
  const options = [...known]
    .map(([key, label]) => ({ value: key, label }))
    .sort((a, b) => a.label.localeCompare(b.label));
  return (
    <Pick label={words.crop} options={[{ value: '', label: words.all }, ...options]} value={value} onPick={onPick} />
  );
}

interface TickProps {
  label: string;
  checked: boolean;
  onTick: (checked: boolean) => void;
}

export function Tick({ label, checked, onTick }: TickProps) {
  return (
    <label class="tick">
      <input type="checkbox" checked={checked} onChange={(event) => onTick(event.currentTarget.checked)} />
      <span>{label}</span>
    </label>
  );
}

export function NoneMatch({ said, clear, onClear }: { said: string; clear: string; onClear: () => void }) {
  return (
    <div class="empty">
      <p>{said}</p>
      <Button onClick={onClear}>{clear}</Button>
    </div>
  );
}
