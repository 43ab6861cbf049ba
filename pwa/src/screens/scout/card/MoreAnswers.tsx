import { useState } from 'preact/hooks';
import { walkWords } from '../../../words/rooms';
import { limits } from '../../../../../schema/limits';
import { Button } from '../../../parts/Button';
import { appWords } from '../../../words';
import { answerWith, type Card } from './card';
import { Bud } from './Drawings';
import { lengthUnit as unitName } from '../../../words/format';
import { refusal, shownTyped, typedLength } from '../../../words/observation';
import { lengthOf } from './Measure';
import { NumberField } from './NumberField';

function Height({ now: { now } }: { now: Card }) {
  const words = walkWords.value;
  const { min, max } = limits.observation.height_mm;
  const [typed, type] = useState(typedLength(now.height_mm));
  const mm = lengthOf(typed);
  const wrong = typed !== '' && (mm === undefined || mm < min || mm > max);
  const shown = (of: number) => shownTyped(typedLength(of));
  return (
    <label class="field">
      <span>
        {words.height} ({unitName()})
      </span>
      <input
        inputMode="decimal"
        autocomplete="off"
        value={typed}
        aria-invalid={wrong}
        onInput={({ currentTarget: { value } }) => {
          type(value);
          const next = lengthOf(value);
          answerWith({ height_mm: next === undefined || next < min || next > max ? undefined : next });
        }}
      />
      {wrong && <strong class="small doubt">{refusal(typed, mm ?? Number.NaN, { min, max }, shown)}</strong>}
    </label>
  );
}

const states = ['tight', 'colour', 'candle', 'open'] as const;

/** What is seldom said of a pot: bud states, height, disease, browning, bypass shoots, and words. */
export function MoreAnswers({ now, onDone }: { now: Card; onDone: () => void }) {
  const words = walkWords.value;
  const pot = now.now;
  const flag = (field: 'disease' | 'lower_brown', label: string) => (
    <button
      type="button"
      class={`button walk ${pot[field] ? 'on' : ''}`}
      aria-pressed={pot[field] === true}
      onClick={() => answerWith({ [field]: pot[field] ? undefined : true })}
    >
      {label}
    </button>
  );
  return (
    <div class="menu one">
      <label class="field">
        <span>{words.wordsLabel}</span>
        <textarea
          rows={3}
          maxLength={limits.observation.words.maxLength}
          value={pot.words ?? ''}
          onInput={(event) => answerWith({ words: event.currentTarget.value || undefined })}
        />
      </label>
      {flag('disease', words.disease)}
      {flag('lower_brown', words.lowerBrown)}
      <Height now={now} />
      <NumberField
        label={words.bypass}
        value={pot.bypass ?? 0}
        min={0}
        max={limits.observation.bypass.max}
        onChange={(bypass) => answerWith({ bypass })}
      />
      <fieldset class="bud-states">
        <legend>{words.states}</legend>
        {states.map((state) => (
          <div key={state}>
            <Bud state={state} size={48} />
            <NumberField
              label={words.budStates[state]}
              value={pot[`buds_${state}`] ?? 0}
              min={0}
              max={limits.observation.buds.max}
              onChange={(count) => answerWith({ [`buds_${state}`]: count })}
            />
          </div>
        ))}
      </fieldset>
      <Button size="walk" kind="main" onClick={onDone}>
        {appWords.value.common.done}
      </Button>
    </div>
  );
}
