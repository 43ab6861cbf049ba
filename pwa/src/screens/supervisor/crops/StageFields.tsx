import type { ComponentChildren } from 'preact';
import { supervisorWords } from '../../../words/supervisor';
import { lengthUnit } from '../../../words/format';
import { SelectField, TextField } from '../../../forms/fields';
import { Section } from '../Page';
import { gateLines } from './gates';
import type { StageEdit } from './stageedit';
import { lengthLabel, lengthNames, stageNames, type StageName } from './stages';

interface Props {
  title: string;
  intro: string;
  edit: StageEdit;
  /** What the plan counts with now, and where that comes from. */
  inForce: (name: StageName) => string;
  /** What stands under the numbers of a stage. */
  under?: (name: StageName) => ComponentChildren;
}

/** How long each stage takes: three numbers a stage, what is in force, and where that comes from. */
export function StageFields({ title, intro, ...rest }: Props) {
  return (
    <Section title={title}>
      <p class="intro quiet">{intro}</p>
      <div class="stages">
        {stageNames.map((name) => (
          <One key={name} name={name} {...rest} />
        ))}
      </div>
    </Section>
  );
}

function One({ name, edit, inForce, under }: { name: StageName } & Omit<Props, 'title' | 'intro'>) {
  const words = supervisorWords.value.plan;
  return (
    <fieldset class="stage">
      <legend>{words.stage[name]}</legend>
      <p class="small quiet">{words.stageMeans[name]}</p>
      <p class="small quiet">{inForce(name)}</p>
      <div class="three">
        {lengthNames.map((length) => (
          <TextField
            key={length}
            label={{ shortest_days: words.quickest, likely_days: words.middle, longest_days: words.slowest }[length]}
            spoken={lengthLabel(name, length)}
            typed={edit.typedLength(name, length)}
            answer={edit.stages[name].answers[length]}
            tried={true}
            mode="numeric"
            onType={(text) => edit.typeLengths(name, { [length]: text })}
          />
        ))}
      </div>
      {under?.(name)}
      <GateFields name={name} edit={edit} />
    </fieldset>
  );
}

/** What must be seen on the pots before the stage ends. */
function GateFields({ name, edit }: { name: StageName; edit: StageEdit }) {
  const words = supervisorWords.value.plan.gate;
  const line = edit.typedGate(name, 'line');
  const answers = edit.stages[name].gate?.answers;
  const field = (part: 'at_least' | 'share_bp', label: string) => (
    <TextField
      label={label}
      spoken={`${supervisorWords.value.plan.stage[name]}, ${label}`}
      typed={edit.typedGate(name, part)}
      answer={answers?.[part] ?? {}}
      tried={true}
      mode="decimal"
      onType={(text) => edit.typeGate(name, part, text)}
    />
  );
  return (
    <>
      <SelectField
        label={words.before}
        value={line}
        none={words.nothing}
        options={gateLines.map((each) => ({ value: each, label: words.lines[each] }))}
        onChoose={(chosen) => edit.typeGate(name, 'line', chosen)}
      />
      {line !== '' && line !== 'buds_ready' && (
        <div class="three">
          {field('at_least', line === 'head_mm' ? words.atLeastIn(lengthUnit()) : words.atLeast)}
          {field('share_bp', words.share)}
        </div>
      )}
    </>
  );
}
