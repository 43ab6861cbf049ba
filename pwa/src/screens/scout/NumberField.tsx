import { useId } from 'preact/hooks';
import { t } from '../../words';

interface Props {
  label: string;
  value: number;
  min: number;
  max: number;
  onChange: (value: number) => void;
}

/** A whole number with a button on each side: typed where it is far, stepped where it is near. */
export function NumberField({ label, value, min, max, onChange }: Props) {
  const id = useId();
  const set = (next: number) => onChange(Math.min(max, Math.max(min, next)));
  return (
    <div class="number-field">
      <label for={id}>{label}</label>
      <div>
        <button
          type="button"
          class="button walk"
          aria-label={`${label}: ${t.value.common.less(1)}`}
          disabled={value <= min}
          onClick={() => set(value - 1)}
        >
          −
        </button>
        <input
          id={id}
          inputMode="numeric"
          autocomplete="off"
          value={String(value)}
          onFocus={(event) => event.currentTarget.select()}
          onChange={(event) => set(Number(event.currentTarget.value.replace(/\D/g, '')) || min)}
        />
        <button
          type="button"
          class="button walk"
          aria-label={`${label}: ${t.value.common.more(1)}`}
          disabled={value >= max}
          onClick={() => set(value + 1)}
        >
          +
        </button>
      </div>
    </div>
  );
}
