import { useId, useState } from 'preact/hooks';
import { appWords } from '../../../words';
import { refusal } from '../../../words/observation';

interface Props {
  label: string;
  value: number;
  min: number;
  max: number;
  onChange: (value: number) => void;
}

/** A whole number with a button on each side: typed where it is far, stepped where it is near. A number out of range is refused with a reason, not changed. */
export function NumberField({ label, value, min, max, onChange }: Props) {
  const id = useId();
  const [refused, refuse] = useState('');
  const set = (next: number) => {
    refuse('');
    onChange(Math.min(max, Math.max(min, next)));
  };
  const read = (text: string) => {
    const number = /^\s*\d+\s*$/.test(text) ? Number(text) : Number.NaN;
    if (number >= min && number <= max) set(number);
    else refuse(text.trim() || '–');
  };
  return (
    <div class="number-field">
      <label for={id}>{label}</label>
      <div>
        <button
          type="button"
          class="button walk"
          aria-label={`${label}: ${appWords.value.common.less(1)}`}
          disabled={value <= min}
          onClick={() => set(value - 1)}
        >
          −
        </button>
        <input
          id={id}
          inputMode="numeric"
          autocomplete="off"
          value={refused || String(value)}
          aria-invalid={refused !== ''}
          onFocus={(event) => event.currentTarget.select()}
          onChange={(event) => read(event.currentTarget.value)}
        />
        <button
          type="button"
          class="button walk"
          aria-label={`${label}: ${appWords.value.common.more(1)}`}
          disabled={value >= max}
          onClick={() => set(value + 1)}
        >
          +
        </button>
      </div>
      {refused !== '' && (
        <strong class="small doubt" role="status">
          {refusal(refused, Number(refused), { min, max }, String)}
        </strong>
      )}
    </div>
  );
}
