import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';

interface Option<V extends string | number> {
  value: V;
  label: string;
  /** A second line under the label. */
  hint?: string;
  /** Drawn above the label; it says nothing to a screen reader that the label does not. */
  picture?: ComponentChildren;
}

interface Props<V extends string | number> {
  legend: string;
  /** Keeps the question for screen readers only, where a heading already asks it. */
  legendUnseen?: boolean;
  options: readonly Option<V>[];
  value: V | undefined;
  onChoose: (value: V) => void;
  /** How many stand in a row. */
  columns?: number;
  size?: 'tap' | 'walk';
}

/** One answer of several, as cards to tap: native radio buttons underneath, so arrow keys and screen readers work. */
export function Choice<V extends string | number>(props: Props<V>) {
  const { legend, legendUnseen, options, value, onChoose, columns = options.length, size = 'walk' } = props;
  const name = useId();
  return (
    <fieldset class={`choice ${size}`}>
      <legend class={legendUnseen ? 'unseen' : ''}>{legend}</legend>
      <div class="cards" style={{ '--columns': String(columns) }}>
        {options.map((option) => (
          <label key={option.value} class="card">
            <input
              type="radio"
              class="unseen"
              name={name}
              value={String(option.value)}
              checked={option.value === value}
              onChange={() => onChoose(option.value)}
            />
            {option.picture !== undefined && <span aria-hidden="true">{option.picture}</span>}
            <span>{option.label}</span>
            {option.hint !== undefined && <span class="small quiet">{option.hint}</span>}
          </label>
        ))}
      </div>
    </fieldset>
  );
}
