/** The fields of the forms: a label, something to type or tap, and below it what is wrong or worth a second look. */
import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';
import { Choice } from '../parts/Choice';
import { workWords } from '../words/rooms';
import { day as writtenDay } from '../words/format';
import { NOT_KNOWN, dayOf, yesterday } from './days';
import type { Field } from './form';

interface Said extends Omit<Field, 'onType'> {
  label: string;
}

/** What is wrong, or worth a second look, as it is to be shown now. */
function complaint({ answer, tried, typed }: Omit<Said, 'label'>): { text: string; wrong: boolean } | undefined {
  if (answer.problem !== undefined) return typed !== '' || tried ? { text: answer.problem, wrong: true } : undefined;
  return answer.hint === undefined ? undefined : { text: answer.hint, wrong: false };
}

/** A complaint's place is always there, so that screen readers hear what comes into it. */
function Complaint({ id, of }: { id: string; of: ReturnType<typeof complaint> }) {
  return (
    <p id={id} class={`say small ${of?.wrong ? 'wrong' : 'hint'}`} aria-live="polite">
      {of && <span aria-hidden="true">{of.wrong ? '✕ ' : '? '}</span>}
      {of?.text}
    </p>
  );
}

interface TextProps extends Said {
  onType: (text: string) => void;
  sign?: string;
  note?: ComponentChildren;
  list?: readonly string[];
  /** decimal and numeric bring up the phone's own digits. */
  mode?: 'text' | 'decimal' | 'numeric';
  /** The whole name for who hears it, where the label alone is short for what stands around it. */
  spoken?: string;
  /** A day is chosen from the device's own calendar, a time of day from its clock. */
  type?: 'text' | 'date' | 'time';
  capitals?: 'characters' | 'words' | 'none';
  children?: ComponentChildren;
}

/** A line of text or a number; what stands in it is never changed under the finger. */
export function TextField(props: TextProps) {
  const {
    label,
    typed,
    onType,
    sign,
    note,
    list,
    mode = 'text',
    type = 'text',
    capitals = 'none',
    spoken,
    children,
  } = props;
  const id = useId();
  const said = complaint(props);
  return (
    <div class="field">
      <label for={id}>{label}</label>
      {note && (
        <span class="small quiet" id={`${id}-note`}>
          {note}
        </span>
      )}
      <div class="line">
        <input
          id={id}
          type={type}
          {...(spoken === undefined ? {} : { 'aria-label': spoken })}
          value={typed}
          inputMode={mode}
          autocomplete="off"
          autocapitalize={capitals}
          spellcheck={false}
          {...(list && list.length > 0 ? { list: `${id}-list` } : {})}
          aria-invalid={said?.wrong === true}
          aria-describedby={`${note ? `${id}-note ` : ''}${id}-say`}
          onInput={(event) => onType(event.currentTarget.value)}
        />
        {sign && <span class="sign">{sign}</span>}
        {children}
      </div>
      {list && list.length > 0 && (
        <datalist id={`${id}-list`}>
          {list.map((each) => (
            <option key={each} value={each} />
          ))}
        </datalist>
      )}
      <Complaint id={`${id}-say`} of={said} />
    </div>
  );
}

/** A whole number of pots: typed where it is far, stepped where it is near. */
export function CountField(props: Said & { onType: (text: string) => void; steps?: readonly number[] }) {
  const { label, typed, onType, answer, steps = [1, 10] } = props;
  const now = (answer.value as number | undefined) ?? (Number(typed) || 0);
  // A step from what cannot be read would put another number in its place.
  const isUnread = answer.value === undefined && Number.isNaN(Number(typed));
  const step = (by: number) => onType(String(Math.max(0, now + by)));
  return (
    <div class="count">
      <TextField {...props} mode="numeric" />
      <div class="steps" role="group" aria-label={label}>
        {steps.toReversed().map((by) => (
          <StepButton key={-by} by={-by} onStep={step} disabled={isUnread || now <= 0} />
        ))}
        {steps.map((by) => (
          <StepButton key={by} by={by} onStep={step} disabled={isUnread} />
        ))}
      </div>
    </div>
  );
}

function StepButton({
  by,
  onStep,
  disabled = false,
}: {
  by: number;
  onStep: (by: number) => void;
  disabled?: boolean;
}) {
  return (
    <button type="button" class="button plain count" disabled={disabled} onClick={() => onStep(by)}>
      {by < 0 ? `−${-by}` : `+${by}`}
    </button>
  );
}

interface SelectProps {
  label: string;
  value: string;
  /** What stands for no choice, where there may be none. */
  none?: string;
  options: readonly { value: string; label: string }[];
  onChoose: (value: string) => void;
}

/** One of a list that is too long for buttons. */
export function SelectField({ label, value, none, options, onChoose }: SelectProps) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <select id={id} value={value} onChange={(event) => onChoose(event.currentTarget.value)}>
        {none !== undefined && <option value="">{none}</option>}
        {options.map((option) => (
          <option key={option.value} value={option.value}>
            {option.label}
          </option>
        ))}
      </select>
    </div>
  );
}

interface DayProps extends Said {
  onType: (day: string) => void;
  now: number;
  mayBeUnknown?: boolean;
}

/** A calendar day: today and yesterday at a tap, any other from the calendar, and "not known" where that is an answer. */
export function DayField(props: DayProps) {
  const { label, typed, onType, now, mayBeUnknown = false } = props;
  const words = workWords.value.work.form;
  const id = useId();
  const said = complaint(props);
  const quick = [
    { value: dayOf(now), label: words.today, hint: writtenDay(dayOf(now)) },
    { value: yesterday(now), label: words.yesterday, hint: writtenDay(yesterday(now)) },
    ...(mayBeUnknown ? [{ value: NOT_KNOWN, label: words.notKnown }] : []),
  ];
  return (
    <div class="field day">
      <Choice legend={label} options={quick} value={typed} onChoose={onType} />
      <input
        id={id}
        type="date"
        aria-label={label}
        value={typed === NOT_KNOWN ? '' : typed}
        aria-invalid={said?.wrong === true}
        aria-describedby={`${id}-say`}
        onInput={(event) => onType(event.currentTarget.value)}
      />
      <Complaint id={`${id}-say`} of={said} />
    </div>
  );
}

export function WordsField(props: Said & { onType: (text: string) => void; rows?: number; hint?: string }) {
  const { label, typed, onType, rows = 3, hint } = props;
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <textarea
        id={id}
        rows={rows}
        value={typed}
        {...(hint ? { placeholder: hint } : {})}
        aria-describedby={`${id}-say`}
        onInput={(event) => onType(event.currentTarget.value)}
      />
      <Complaint id={`${id}-say`} of={complaint(props)} />
    </div>
  );
}

interface PickProps extends Said {
  options: readonly { value: string; label: string; hint?: string | undefined }[];
  onType: (value: string) => void;
}

/** One of a few as cards, one of many as the phone's own list. */
export function PickField(props: PickProps) {
  const { label, options, typed, onType } = props;
  const id = useId();
  const said = complaint(props);
  const cards = options.map((each) => (each.hint === undefined ? { value: each.value, label: each.label } : each)) as {
    value: string;
    label: string;
    hint?: string;
  }[];
  return (
    <div class="field">
      {options.length <= 6 ? (
        <Choice legend={label} options={cards} value={typed} onChoose={onType} columns={options.length > 2 ? 2 : 1} />
      ) : (
        <>
          <label for={id}>{label}</label>
          <select
            id={id}
            value={typed}
            aria-describedby={`${id}-say`}
            onChange={(event) => onType(event.currentTarget.value)}
          >
            <option value="" disabled>
              {workWords.value.work.form.choose}
            </option>
            {options.map((option) => (
              <option key={option.value} value={option.value}>
                {option.hint ? `${option.label} (${option.hint})` : option.label}
              </option>
            ))}
          </select>
        </>
      )}
      <Complaint id={`${id}-say`} of={said} />
    </div>
  );
}
