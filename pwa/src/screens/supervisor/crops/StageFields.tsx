import type { ComponentChildren } from 'preact';
import { supervisorWords } from '../../../words/supervisor';
import { TextField } from '../../../forms/fields';
import { Section } from '../Page';
import { GateFields } from './GateFields';
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
      <GateFields
        of={words.stage[name]}
        typed={(part) => edit.typedGate(name, part)}
        answer={(part) => edit.stages[name].gate?.answers[part]}
        none={words.gate.nothing}
        onType={(part, text) => edit.typeGate(name, part, text)}
      />
    </fieldset>
  );
}
