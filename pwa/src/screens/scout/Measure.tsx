/** The two questions that are answered by a number: head size and bud count. */
import { useState } from 'preact/hooks';
import { limits } from '../../../../schema/limits';
import { read } from '../../../../sync/unit/unit';
import { valueOf } from '../../parts/keys';
import { choose, settings } from '../../state';
import { t } from '../../words';
import { answerWith, type Card } from './card';
import { lengthUnit, typedLength } from './names';
import { Pad, type SideKey } from './Pad';
import { Steps } from './Steps';

const head = limits.observation.head_a_mm;
const buds = limits.observation.buds;
/** A head that fits a pot has at most two digits in centimetres or inches; the second one completes it. */
const HEAD_DIGITS = 2;
/** Above these a caliper's number cannot be a head in the unit on the screen: it is millimetres. */
const MOST_CM = 150;
const MOST_IN = 60;

type HeadField = 'head_a_mm' | 'head_b_mm';

export function Head({ now, onDone }: { now: Card; onDone: () => void }) {
  const words = t.value.scout.walk;
  const [field, setField] = useState<HeadField>('head_a_mm');
  const value = now.now[field];
  const [text, setText] = useText(value, typedLength, lengthOf);
  const type = (next: string) => {
    setText(next);
    const mm = lengthOf(next);
    answerWith({ [field]: mm });
    // The practised hand types two digits and goes on; a half is added there, or here before the next tap.
    if (next.length > text.length && /^\d+$/.test(next) && next.length === HEAD_DIGITS && mm !== undefined) onDone();
  };
  const half = () => {
    const next = withFraction(text);
    setText(next);
    answerWith({ [field]: lengthOf(next) });
  };
  if (settings.value.entry === 'steps') {
    return (
      <Steps
        label={words.head}
        value={value}
        kind="head"
        onChange={(mm) => answerWith({ [field]: mm })}
        onKeypad={() => choose({ entry: 'keypad' })}
      />
    );
  }
  const second: SideKey = {
    label: field === 'head_a_mm' ? words.secondShort : words.firstShort,
    said: field === 'head_a_mm' ? words.second : words.first,
    on: field === 'head_b_mm',
    press: () => setField(field === 'head_a_mm' ? 'head_b_mm' : 'head_a_mm'),
  };
  return (
    <Pad
      label={field === 'head_a_mm' ? words.head : words.second}
      text={text}
      room={{ whole: 3, decimals: 1 }}
      onText={type}
      onEnter={onDone}
      onNotSeen={() => {
        setText('');
        answerWith({ head_a_mm: undefined, head_b_mm: undefined });
        onDone();
      }}
      corner={{
        label: settings.value.units.length === 'in' ? '+ ¼' : '+ ½',
        said: t.value.common.andHalf,
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
export function lengthOf(text: string): number | undefined {
  const plain = Number(text);
  const tooLong = plain >= (lengthUnit() === 'in' ? MOST_IN : MOST_CM);
  const typed = read(text, tooLong ? (settings.value.caliper === 'in' ? 'in' : 'mm') : lengthUnit());
  return typed.ok && typed.value >= head.min && typed.value <= head.max ? typed.value : undefined;
}

export function Buds({ now, onDone }: { now: Card; onDone: () => void }) {
  const words = t.value.scout.walk;
  const [bare, setBare] = useState(false);
  const field = bare ? 'tips_bare' : 'buds';
  const value = now.now[field];
  const [text, setText] = useText(value, countText, countOf);
  const type = (next: string) => {
    setText(next);
    answerWith({ [field]: countOf(next) });
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
        onChange={(count) => answerWith({ buds: count })}
        onKeypad={() => choose({ entry: 'keypad' })}
      />
    );
  }
  return (
    <Pad
      label={bare ? words.bare : words.buds}
      text={text}
      room={{ whole: 4, decimals: 0 }}
      onText={type}
      onEnter={onDone}
      onNotSeen={() => {
        setText('');
        answerWith({ [field]: undefined });
        if (!bare) onDone();
      }}
      corner={lengthUnit() === 'in' ? undefined : halfHead}
      side={[
        { label: words.bare, on: bare, press: () => setBare(!bare) },
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
  read: (text: string) => number | undefined,
): [string, (text: string) => void] {
  const [typed, type] = useState<string | undefined>(undefined);
  return [typed !== undefined && read(typed) === value ? typed : write(value), type];
}

function countOf(text: string): number | undefined {
  const count = valueOf(text);
  return count !== undefined && count <= buds.max ? count : undefined;
}

function countText(count: number | undefined): string {
  return count === undefined ? '' : String(count);
}
