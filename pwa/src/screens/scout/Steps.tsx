import { t } from '../../words';
import { units } from '../../words';

interface Props {
  label: string;
  value: number | undefined;
  kind: 'head' | 'buds';
  onChange: (value: number | undefined) => void;
  onKeypad: () => void;
}

/** Half a centimetre is what a hand can read off a head; in inches it is a quarter. */
const HEAD_STEPS = { cm: [5, 10, 50], in: [6, 25, 127] } as const;
const BUD_STEPS = [1, 5, 10] as const;
const MOST = 2000;

/** Counting by big buttons: no aim needed, every tap said aloud by the changed number. */
export function Steps({ label, value, kind, onChange, onKeypad }: Props) {
  const words = t.value.common;
  const steps: readonly number[] = kind === 'buds' ? BUD_STEPS : HEAD_STEPS[units.value.length];
  const least = kind === 'buds' ? 0 : 5;
  const shown = (by: number) =>
    kind === 'buds'
      ? String(by)
      : units.value.length === 'in'
        ? ['¼', '1', '5'][steps.indexOf(by)]
        : ['½', '1', '5'][steps.indexOf(by)];
  const step = (by: number) => onChange(Math.min(MOST, Math.max(least, (value ?? 0) + by)));
  return (
    <div class="steps" role="group" aria-label={label}>
      {steps.map((by) => (
        <button key={by} type="button" class="button count" aria-label={words.more(by)} onClick={() => step(by)}>
          +{shown(by)}
        </button>
      ))}
      {steps.map((by) => (
        <button
          key={-by}
          type="button"
          class="button walk"
          aria-label={words.less(by)}
          disabled={value === undefined || value <= least}
          onClick={() => step(-by)}
        >
          −{shown(by)}
        </button>
      ))}
      <button type="button" class="button walk soft" onClick={() => onChange(undefined)}>
        {words.notSeen}
      </button>
      <button type="button" class="button walk soft" onClick={() => onChange(kind === 'buds' ? 0 : value)}>
        {kind === 'buds' ? '0' : '–'}
      </button>
      <button type="button" class="button walk soft" onClick={onKeypad}>
        {t.value.scout.walk.keypad}
      </button>
    </div>
  );
}
