/** The two questions that are answered by a number: head size and bud count. */
import { useState } from 'preact/hooks';
import { walkWords } from '../../../words/rooms';
import { limits } from '../../../../../schema/limits';
import { read, type Unit } from '../../../../../sync/unit/unit';
import { valueOf } from '../../../parts/keys';
import { choose, settings } from '../../../state';
import { appWords, units } from '../../../words';
import { answerWith, card, notSeen, turnTo, type Card } from './card';
import { typedLength } from '../../../words/observation';
import { Pad, type Hand, type SideKey } from './Pad';
import { Steps } from './Steps';

const head = limits.observation.head_a_mm;
const buds = limits.observation.buds;
/** A head that fits a pot has at most two digits in centimetres or inches; the second one completes it. */
const HEAD_DIGITS = 2;
/**
 * From these on a number cannot be a head in the unit on the screen: it is millimetres. No thumb types a head of 60 cm
 * by accident, and a thumb that types 7 and 5 for 7.5 inches means no millimetres; a caliper that sends whole millimetres sends 95 for a small pot.
 */
const MOST = { thumb: { cm: 150, in: 100 }, keyboard: { cm: 60, in: 24 } } as const;

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
  // The key that ends a head goes on as its second digit does.
  const ends = (fraction: Fraction): SideKey => ({
    label: `${fraction.shown} ›`,
    said: appWords.value.common.andFraction[fraction.part],
    goes: true,
    disabled: text === '' || text.endsWith('.'),
    press: () => {
      const next = withFraction(text, fraction);
      setText(next, 'thumb');
      answerWith({ [field]: lengthOf(next) });
      onDone();
    },
  });
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
        onChange={(mm) => (mm === undefined && !now.other ? notSeen('head') : answerWith({ [field]: mm }))}
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
        notSeen('head');
        onDone();
      }}
      corner={second}
      side={fractions[units.value.length].map(ends)}
    />
  );
}

interface Fraction {
  part: '25' | '5' | '75';
  shown: string;
}

const half: Fraction = { part: '5', shown: '½' };
/** What an eye reads off a head between two whole numbers. */
const fractions: Record<'cm' | 'in', readonly Fraction[]> = {
  cm: [half],
  in: [{ part: '25', shown: '¼' }, half, { part: '75', shown: '¾' }],
};

const partOf = (text: string) => text.split('.')[1] ?? '';

function withFraction(text: string, { part }: Fraction): string {
  return `${text.split('.')[0]}.${part}`;
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
  // A head is complete with its second digit: the half, or the quarters, of that head stand here. A further tap takes it off again.
  const headText = typedLength(now.now.head_a_mm);
  const ofHead = (fraction: Fraction): SideKey => {
    const on = partOf(headText) === fraction.part;
    return {
      label: words.headFraction(fraction.shown),
      on,
      disabled: headText === '',
      press: () => {
        const next = on ? (headText.split('.')[0] ?? '') : withFraction(headText, fraction);
        answerWith({ head_a_mm: lengthOf(next) });
      },
    };
  };
  if (settings.value.entry === 'steps') {
    return (
      <Steps
        label={words.buds}
        value={now.now.buds}
        kind="buds"
        extra={{ label: '0', press: () => answerWith({ buds: 0 }) }}
        onChange={(count) => (count === undefined ? notSeen('buds') : answerWith({ buds: count }))}
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
        if (bare) answerWith({ tips_bare: undefined });
        else {
          notSeen('buds');
          onDone();
        }
      }}
      corner={{ label: words.bare, on: bare, press: () => turnTo('buds', !bare) }}
      side={fractions[units.value.length].map(ofHead)}
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
