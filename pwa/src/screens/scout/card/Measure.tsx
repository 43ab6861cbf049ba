/** The two questions that are answered by a number: head size and bud count. */
import { useState } from 'preact/hooks';
import { walkWords } from '../../../words/rooms';
import { limits } from '../../../../../schema/limits';
import { read, type Unit } from '../../../../../sync/unit/unit';
import { valueOf } from '../../../parts/keys';
import { choose, settings } from '../../../state';
import { appWords, units } from '../../../words';
import { answerWith, card, turnTo, type Card } from './card';
import { lengthUnit, typedLength } from '../../../words/observation';
import { Pad, type Hand, type SideKey } from './Pad';
import { Steps } from './Steps';

const head = limits.observation.head_a_mm;
const buds = limits.observation.buds;
/** A head that fits a pot has at most two digits in centimetres or inches; the second one completes it. */
const HEAD_DIGITS = 2;
/**
 * From these on a number cannot be a head in the unit on the screen: it is millimetres. No thumb types a head of 60 cm
 * by accident; a caliper that sends whole millimetres sends 95 for a small pot.
 */
const MOST = { thumb: { cm: 150, in: 60 }, keyboard: { cm: 60, in: 24 } } as const;

export function Head({ now, onDone }: { now: Card; onDone: () => void }) {
  const words = walkWords.value;
  const field = now.other ? 'head_b_mm' : 'head_a_mm';
  const value = now.now[field];
  const [text, setText] = useText(value, typedLength, lengthOf);
  const type = (next: string, by: Hand) => {
    setText(next, by);
    const mm = lengthOf(next, by);
    // A caliper's next digit may come before the screen has been drawn for the second diameter.
    answerWith({ [card.value?.other ? 'head_b_mm' : 'head_a_mm']: mm }, mm === undefined ? next : undefined);
    // The practised hand types two digits and goes on; a half is added there, or here before the next tap. A caliper's
    // digits come on, so it goes on at its Enter.
    const isWhole = next.length > text.length && /^\d+$/.test(next) && next.length === HEAD_DIGITS;
    if (by === 'thumb' && isWhole && mm !== undefined) onDone();
  };
  const half = () => {
    const next = withFraction(text);
    setText(next, 'thumb');
    answerWith({ [field]: lengthOf(next) });
  };
  const second: SideKey = {
    label: words.secondShort,
    said: words.second,
    on: now.other === true,
    press: () => turnTo('head', !now.other),
  };
  if (settings.value.entry === 'steps') {
    return (
      <Steps
        label={field === 'head_a_mm' ? words.head : words.second}
        value={value}
        kind="head"
        extra={second}
        onChange={(mm) => answerWith({ [field]: mm })}
        onKeypad={() => choose({ entry: 'keypad' })}
      />
    );
  }
  return (
    <Pad
      of={field}
      label={field === 'head_a_mm' ? words.head : words.second}
      text={text}
      isWhole={value !== undefined && !now.undone}
      room={{ whole: 3, decimals: 1 }}
      onText={type}
      onEnter={() => (card.value?.other ? onDone() : turnTo('head', true))}
      onNotSeen={() => {
        setText('', 'thumb');
        answerWith({ head_a_mm: undefined, head_b_mm: undefined });
        onDone();
      }}
      corner={{
        label: settings.value.units.length === 'in' ? '+ ¼' : '+ ½',
        said: settings.value.units.length === 'in' ? appWords.value.common.andQuarter : appWords.value.common.andHalf,
        press: half,
      }}
      side={[second, { label: words.steps, press: () => choose({ entry: 'steps' }) }, undefined]}
    />
  );
}

/** Adds half a centimetre, or a quarter of an inch; a further tap takes it off again or adds the next quarter. */
function withFraction(text: string): string {
  const [whole = '', part = ''] = (text === '' ? '0' : text).split('.');
  if (lengthUnit() !== 'in') return part === '5' ? whole : `${whole}.5`;
  const quarters: Record<string, string> = { '': '.25', '25': '.5', '5': '.75', '75': '' };
  return `${whole}${quarters[part] ?? '.25'}`;
}

/** Millimetres that a typed text stands for, undefined where it is no length that a head can have. */
export function lengthOf(text: string, by: Hand = 'thumb'): number | undefined {
  const typed = read(text, unitOf(text, by));
  return typed.ok && typed.value >= head.min && typed.value <= head.max ? typed.value : undefined;
}

/** Two decimals and more are finer than an eye reads: a caliper sent them, in its own unit. */
function unitOf(text: string, by: Hand): Unit {
  if (by === 'keyboard' && /[.,]\d\d/.test(text)) return settings.value.caliper;
  const unit = units.value.length;
  return Number(text.replace(',', '.')) >= MOST[by][unit] ? 'mm' : unit;
}

export function Buds({ now, onDone }: { now: Card; onDone: () => void }) {
  const words = walkWords.value;
  const bare = now.other === true;
  const field = bare ? 'tips_bare' : 'buds';
  const value = now.now[field];
  const [text, setText] = useText(value, countText, countOf);
  const type = (next: string, by: Hand) => {
    setText(next, by);
    const count = countOf(next);
    answerWith({ [field]: count }, count === undefined ? next : undefined);
  };
  const halfHead: SideKey = {
    label: words.halfHead,
    disabled: now.now.head_a_mm === undefined,
    press: () => answerWith({ head_a_mm: lengthOf(withFraction(typedLength(now.now.head_a_mm))) }),
  };
  if (settings.value.entry === 'steps') {
    return (
      <Steps
        label={words.buds}
        value={now.now.buds}
        kind="buds"
        extra={{ label: '0', press: () => answerWith({ buds: 0 }) }}
        onChange={(count) => answerWith({ buds: count })}
        onKeypad={() => choose({ entry: 'keypad' })}
      />
    );
  }
  return (
    <Pad
      of={field}
      label={bare ? words.bare : words.buds}
      text={text}
      isWhole={value !== undefined && !now.undone}
      room={{ whole: 4, decimals: 0 }}
      onText={type}
      onEnter={onDone}
      onNotSeen={() => {
        setText('', 'thumb');
        answerWith({ [field]: undefined });
        if (!bare) onDone();
      }}
      corner={lengthUnit() === 'in' ? undefined : halfHead}
      side={[
        { label: words.bare, on: bare, press: () => turnTo('buds', !bare) },
        { label: words.addSteps, press: () => choose({ entry: 'steps' }) },
        undefined,
      ]}
    />
  );
}

/**
 * The text in the making ("31.", or a number out of range), as long as it stands for the value that is kept; the
 * value's own text once that was changed by something else, as undo does.
 */
function useText(
  value: number | undefined,
  write: (value: number | undefined) => string,
  read: (text: string, by: Hand) => number | undefined,
): [string, (text: string, by: Hand) => void] {
  const [typed, type] = useState<{ text: string; by: Hand } | undefined>(undefined);
  const shown = typed !== undefined && read(typed.text, typed.by) === value ? typed.text : write(value);
  return [shown, (text, by) => type({ text, by })];
}

function countOf(text: string): number | undefined {
  const count = valueOf(text);
  return count !== undefined && count <= buds.max ? count : undefined;
}

function countText(count: number | undefined): string {
  return count === undefined ? '' : String(count);
}
