import { appWords, units } from '../../../words';
import { walkWords } from '../../../words/rooms';
import { inQuarters, QUARTER_INCH } from '../../../words/observation';
import type { SideKey } from './Pad';

interface Props {
  label: string;
  value: number | undefined;
  kind: 'head' | 'buds';
  /** What else can be said about the same trait. */
  extra: SideKey;
  onChange: (value: number | undefined) => void;
  onKeypad: () => void;
}

interface Step {
  by: number;
  shown: string;
}

/** Half a centimetre is what a hand can read off a head; in inches it is a quarter. */
const HEAD_STEPS: Record<'cm' | 'in', readonly Step[]> = {
  cm: [
    { by: 5, shown: '½' },
    { by: 10, shown: '1' },
    { by: 50, shown: '5' },
  ],
  in: [
    { by: QUARTER_INCH, shown: '¼' },
    { by: 4 * QUARTER_INCH, shown: '1' },
    { by: 20 * QUARTER_INCH, shown: '5' },
  ],
};
const BUD_STEPS: readonly Step[] = [1, 5, 10].map((by) => ({ by, shown: String(by) }));
const MOST = 2000;

/** Counting by big buttons: no aim needed, every tap said aloud by the changed number. */
export function Steps({ label, value, kind, extra, onChange, onKeypad }: Props) {
  const words = appWords.value.common;
  const unit = units.value.length;
  const steps = kind === 'buds' ? BUD_STEPS : HEAD_STEPS[unit];
  const least = kind === 'buds' ? 0 : 5;
  const sign = kind === 'buds' ? '' : ` ${unit === 'in' ? words.inch : words.centimetre}`;
  const from = kind === 'head' && unit === 'in' ? inQuarters(value ?? 0) : (value ?? 0);
  const step = (by: number) => onChange(Math.min(MOST, Math.max(least, Math.round(from + by))));
  return (
    <div class="steps" role="group" aria-label={label}>
      {steps.map(({ by, shown }) => (
        <button
          key={by}
          type="button"
          class="button count"
          aria-label={words.more(shown + sign)}
          onClick={() => step(by)}
        >
          +{shown}
        </button>
      ))}
      {steps.map(({ by, shown }) => (
        <button
          key={-by}
          type="button"
          class="button walk"
          aria-label={words.less(shown + sign)}
          disabled={value === undefined || value <= least}
          onClick={() => step(-by)}
        >
          −{shown}
        </button>
      ))}
      <button type="button" class="button walk soft" onClick={() => onChange(undefined)}>
        {words.notSeen}
      </button>
      <button
        type="button"
        class={`button walk soft ${extra.on ? 'on' : ''}`}
        aria-pressed={extra.on}
        onClick={extra.press}
      >
        <span aria-hidden={extra.said !== undefined}>{extra.label}</span>
        {extra.said !== undefined && <span class="unseen">{extra.said}</span>}
      </button>
      <button type="button" class="button walk soft" onClick={onKeypad}>
        {walkWords.value.keypad}
      </button>
    </div>
  );
}
