import { useEffect, useState } from 'preact/hooks';
import { t } from '../words';
import { number } from '../words/format';

interface Props {
  /** What is counted, and of what, for the screen reader: "bud count, row 41". */
  label: string;
  value: number | undefined;
  onChange: (value: number) => void;
  /** What each plus button adds, smallest first. */
  steps?: readonly number[];
  min?: number;
  max: number;
  write?: (value: number) => string;
}

const SPOKEN_AFTER_MS = 500;

/** A count with buttons big enough for a glove. */
export function Stepper({ label, value, onChange, steps = [1, 5, 10], min = 0, max, write = number }: Props) {
  const words = t.value.common;
  const now = value ?? min;
  const step = (by: number) => onChange(Math.min(max, Math.max(min, now + by)));
  return (
    <div class="stepper" role="group" aria-label={label}>
      <button
        type="button"
        class="button plain count less"
        disabled={now <= min}
        onClick={() => step(-(steps[0] ?? 1))}
      >
        <span aria-hidden="true">−{steps[0] ?? 1}</span>
        <span class="unseen">{words.less(steps[0] ?? 1)}</span>
      </button>
      <output class="value">{value === undefined ? '–' : write(value)}</output>
      {steps.map((by) => (
        <button key={by} type="button" class="button plain count" disabled={now >= max} onClick={() => step(by)}>
          <span aria-hidden="true">+{by}</span>
          <span class="unseen">{words.more(by)}</span>
        </button>
      ))}
      <Spoken text={value === undefined ? '' : `${label}: ${write(value)}`} />
    </div>
  );
}

/** Says a value once the finger rests, not at every tap. */
function Spoken({ text }: { text: string }) {
  const [said, say] = useState('');
  useEffect(() => {
    const timer = setTimeout(() => say(text), SPOKEN_AFTER_MS);
    return () => clearTimeout(timer);
  }, [text]);
  return (
    <span class="unseen" aria-live="polite">
      {said}
    </span>
  );
}
