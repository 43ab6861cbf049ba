/** The two questions that are answered by looking: roots (how far, alive?) and leaves (which, how much?). */
import { useState } from 'preact/hooks';
import { walkWords } from '../../../words/rooms';
import type { Observation } from '../../../../../schema/types';
import { appWords } from '../../../words';
import { answerWith, type Card } from './card';
import { Cover, Life, Scratch, Severity, Shoot } from './Drawings';
import { unlessSecond } from './secondTap';

interface PickProps<V> {
  question: string;
  options: readonly { value: V; label: string; said: string; picture: preact.ComponentChildren }[];
  value: V | undefined;
  columns: number;
  onPick: (value: V) => void;
  children?: preact.ComponentChildren;
}

/** Picture cards. Buttons, not radios: choosing the same again is a choice too, and moves on. */
function Pick<V extends string | number>({ question, options, value, columns, onPick, children }: PickProps<V>) {
  return (
    <div class="look" role="group" aria-label={question}>
      <h2>{question}</h2>
      <div class="pictures" style={{ '--columns': String(columns) }}>
        {options.map((option) => (
          <button
            key={option.value}
            type="button"
            class={`button picture ${option.value === value ? 'on' : ''}`}
            aria-pressed={option.value === value}
            aria-label={option.said}
            onClick={unlessSecond(question, () => onPick(option.value))}
          >
            {option.picture}
            <span>{option.label}</span>
          </button>
        ))}
        {children}
      </div>
    </div>
  );
}

type RootStep = 'cover' | 'life' | 'scratch';

export function Roots({ now, onDone }: { now: Card; onDone: () => void }) {
  const words = walkWords.value;
  const [step, setStep] = useState<RootStep>('cover');
  const { root_cover: cover, root_life: life, scratch } = now.now;
  if (step === 'cover') {
    return (
      <Pick
        question={words.cover}
        columns={3}
        value={cover}
        options={[0, 1, 2, 3, 4, 5].map((value) => ({
          value,
          label: `${value} · ${words.coverNames[value] ?? ''}`,
          said: `${value}: ${words.coverNames[value] ?? ''}`,
          picture: <Cover step={value} size={64} />,
        }))}
        onPick={(value) => {
          answerWith({ root_cover: value });
          // Without roots there is nothing to be alive.
          if (value === 0) onDone();
          else setStep('life');
        }}
      />
    );
  }
  if (step === 'life') {
    return (
      <Pick
        question={words.life}
        columns={3}
        value={life}
        options={[1, 2, 3, 4, 5].map((value) => ({
          value,
          label: `${value} ${words.lifeNames[value] ?? ''}`,
          said: `${value}: ${words.lifeNames[value] ?? ''}`,
          picture: <Life step={value} size={64} />,
        }))}
        onPick={(value) => {
          answerWith({ root_life: value });
          // Brown roots may be old ones, alive: one scratch tells, so it is asked before going on.
          if (value <= 3) setStep('scratch');
          else onDone();
        }}
      >
        <button
          type="button"
          class={`button picture ${scratch ? 'on' : ''}`}
          aria-pressed={scratch !== undefined}
          aria-label={
            scratch ? words.answered(words.scratchCard, appWords.value.common.scratch[scratch]) : words.scratchCard
          }
          onClick={unlessSecond(words.life, () => setStep('scratch'))}
        >
          <Scratch kind={scratch ?? 'firm_white'} size={64} />
          <span>{scratch ? words.scratchShort[scratch] : words.scratchCard}</span>
        </button>
      </Pick>
    );
  }
  return (
    <div>
      <Pick
        question={words.scratchQuestion}
        columns={3}
        value={scratch}
        options={(['firm_white', 'soft', 'not_scratched'] as const).map((kind) => ({
          value: kind,
          label: appWords.value.common.scratch[kind],
          said: appWords.value.common.scratch[kind],
          picture: <Scratch kind={kind} size={80} />,
        }))}
        onPick={(kind) => {
          answerWith({ scratch: kind });
          if (life === undefined) setStep('life');
          else onDone();
        }}
      />
      <p class="small quiet hint">{words.scratchHint}</p>
    </div>
  );
}

export function Leaves({ now, onNotSeen }: { now: Card; onNotSeen: () => void }) {
  const words = walkWords.value;
  const { chlorosis, severity, soft_flush: soft } = now.now;
  const [asks, ask] = useState<'which' | 'much'>(now.askedDegree ? 'much' : 'which');
  const isHowMuch = asks === 'much' && chlorosis !== undefined && chlorosis !== 'none';
  const question = isHowMuch ? words.howMuch : words.which;
  const flush = (
    <button
      type="button"
      class={`button walk flush ${soft ? 'on' : ''}`}
      aria-pressed={soft === true}
      onClick={unlessSecond(question, () => answerWith({ soft_flush: soft === true ? undefined : true }))}
    >
      <span>{words.softFlush}</span>
      <span class="small">{words.softFlushHint}</span>
    </button>
  );
  if (isHowMuch) {
    return (
      <div>
        <Pick
          question={question}
          columns={4}
          value={severity}
          options={[1, 2, 3, 4].map((value) => ({
            value,
            label: `${value} ${words.severityNames[value] ?? ''}`,
            said: `${value}: ${words.severityNames[value] ?? ''}`,
            picture: <Severity step={value} size={46} />,
          }))}
          onPick={(value) => answerWith({ severity: value })}
        />
        <div class="none-row">
          <button type="button" class="button walk none" onClick={unlessSecond(question, () => ask('which'))}>
            {words.otherLeaves}
          </button>
        </div>
        {flush}
      </div>
    );
  }
  // On a new pot the green button below says that all are green, and goes on.
  const isSaidBelow = !now.pot && chlorosis === undefined && !now.askedOpen;
  const which = (value: NonNullable<Observation['chlorosis']>) => {
    if (value === 'none') {
      answerWith({ chlorosis: 'none', severity: 0 });
      return;
    }
    answerWith({ chlorosis: value, ...(chlorosis === value ? {} : { severity: undefined }) });
    ask('much');
  };
  return (
    <div>
      <Pick
        question={question}
        columns={3}
        value={chlorosis}
        options={(['young', 'old', 'whole'] as const).map((value) => ({
          value,
          label: words.whichNames[value],
          said: words.whichNames[value],
          picture: <Shoot pale={value} size={72} />,
        }))}
        onPick={which}
      />
      {isSaidBelow ? (
        <div class="flush-row">
          {flush}
          <button type="button" class="button walk soft" onClick={unlessSecond(question, onNotSeen)}>
            {appWords.value.common.notSeen}
          </button>
        </div>
      ) : (
        <>
          <div class="none-row">
            <button
              type="button"
              class={`button walk none ${chlorosis === 'none' ? 'on' : ''}`}
              aria-pressed={chlorosis === 'none'}
              onClick={unlessSecond(question, () => which('none'))}
            >
              {words.whichNames.none}
            </button>
          </div>
          {flush}
        </>
      )}
    </div>
  );
}
