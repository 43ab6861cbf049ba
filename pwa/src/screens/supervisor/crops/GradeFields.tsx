import { useId } from 'preact/hooks';
import { supervisorWords } from '../../../words/supervisor';
import { TextField } from '../../../forms/fields';
import { wayOf } from '../../../forms/typed';
import {
  choicesOf,
  chosenLines,
  measureOf,
  typedLines,
  type ChosenLine,
  type Draft,
  type LineName,
  type ReadGrade,
  type TypedLine,
} from './cropgrades';

interface Props {
  draft: Draft;
  read: ReadGrade;
  onChange: (draft: Draft) => void;
}

/** The lines of one grade; one left empty is not asked. */
export function GradeFields({ draft, read, onChange }: Props) {
  const words = supervisorWords.value.crops;
  const put = (line: LineName, text: string) => {
    const { [line]: _, ...others } = draft.texts;
    onChange({ ...draft, texts: text === '' ? others : { ...others, [line]: text } });
  };
  return (
    <div class="asked lines">
      <TextField
        label={words.line.name}
        typed={draft.name}
        answer={read.name}
        tried={true}
        capitals="none"
        onType={(name) => onChange({ ...draft, name })}
      />
      {(Object.keys(typedLines) as TypedLine[]).map((line) => (
        <TextField
          key={line}
          label={words.line[line]}
          typed={draft.texts[line] ?? ''}
          answer={read.lines[line]}
          tried={true}
          note={noteOf(line)}
          mode={measureOf(line) === 'count' ? 'numeric' : 'decimal'}
          sign={wayOf(measureOf(line)).sign}
          onType={(text) => put(line, text)}
        />
      ))}
      {chosenLines.map((line) => (
        <Chosen key={line} line={line} value={draft.texts[line] ?? ''} onChoose={(text) => put(line, text)} />
      ))}
    </div>
  );
}

function noteOf(line: TypedLine): string | undefined {
  const notes = supervisorWords.value.crops.lineNote;
  if (line === 'round_min_bp') return notes.round;
  if (line === 'budded_min_bp') return notes.budded;
  return line === 'buds_min' || line === 'price_c' ? undefined : notes.head;
}

function Chosen({ line, value, onChoose }: { line: ChosenLine; value: string; onChoose: (text: string) => void }) {
  const words = supervisorWords.value.crops;
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{words.line[line]}</label>
      <select id={id} value={value} onChange={(event) => onChoose(event.currentTarget.value)}>
        <option value="">{words.notAsked}</option>
        {choicesOf(line).map((choice) => (
          <option key={choice.value} value={String(choice.value)}>
            {choice.label}
          </option>
        ))}
      </select>
    </div>
  );
}
