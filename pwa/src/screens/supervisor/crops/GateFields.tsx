import type { Answer } from '../../../forms/typed';
import { SelectField, TextField } from '../../../forms/fields';
import { lengthUnit } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { gateLines, isOfNumbers, noGate, type GatePart } from './gates';

interface Props {
  /** Of what it is the gate, for who hears a field's name without seeing where it stands. */
  of: string;
  typed: (part: GatePart) => string;
  answer: (part: Exclude<GatePart, 'line'>) => Answer<number> | undefined;
  /** What an empty choice says; where that is not "nothing", nothing can be chosen too. */
  none: string;
  onType: (part: GatePart, text: string) => void;
}

/** What must be seen on the pots before a stage ends. */
export function GateFields({ of, typed, answer, none, onType }: Props) {
  const words = supervisorWords.value.plan.gate;
  const line = typed('line');
  const field = (part: Exclude<GatePart, 'line'>, label: string) => (
    <TextField
      label={label}
      spoken={`${of}, ${label}`}
      typed={typed(part)}
      answer={answer(part) ?? {}}
      tried={true}
      mode="decimal"
      onType={(text) => onType(part, text)}
    />
  );
  return (
    <>
      <SelectField
        label={words.before}
        value={line}
        none={none}
        options={[
          ...(none === words.nothing ? [] : [{ value: noGate, label: words.nothing }]),
          ...gateLines.map((each) => ({ value: each, label: words.lines[each] })),
        ]}
        onChoose={(chosen) => onType('line', chosen)}
      />
      {isOfNumbers(line) && (
        <div class="three">
          {field('at_least', line === 'head_mm' ? words.atLeastIn(lengthUnit()) : words.atLeast)}
          {field('share_bp', words.share)}
        </div>
      )}
    </>
  );
}
