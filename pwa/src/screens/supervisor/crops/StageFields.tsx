import type { Field, Stage } from '../../../../../schema/types';
import { supervisorWords } from '../../../words/supervisor';
import { lengthUnit, stamp } from '../../../words/format';
import { word } from '../../../words/entry';
import { SelectField, TextField } from '../../../forms/fields';
import { Section } from '../Page';
import type { CropEdit } from './cropedit';
import { personName } from './crops';
import { gateLines } from './gates';
import { lengthLabel, lengthNames, stageNames, startOf, type StageName } from './stages';

interface Props {
  crop: string;
  edit: CropEdit;
  fields: { readonly [name: string]: Field };
}

/** How long each stage takes: three numbers a stage, what is in force, and where that comes from. */
export function StageFields({ crop, edit, fields }: Props) {
  const words = supervisorWords.value.plan;
  return (
    <Section title={words.stagesTitle}>
      <p class="intro quiet">{words.stagesIntro}</p>
      <div class="stages">
        {stageNames.map((name) => (
          <One key={name} crop={crop} name={name} edit={edit} field={fields[name]} />
        ))}
      </div>
    </Section>
  );
}

function One({ crop, name, edit, field }: { crop: string; name: StageName; edit: CropEdit; field: Field | undefined }) {
  const words = supervisorWords.value.plan;
  return (
    <fieldset class="stage">
      <legend>{words.stage[name]}</legend>
      <p class="small quiet">{words.stageMeans[name]}</p>
      <p class="small quiet">{inForce(crop, name, field)}</p>
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
            onType={(text) => edit.typeLength(name, length, text)}
          />
        ))}
      </div>
      <GateFields name={name} edit={edit} />
    </fieldset>
  );
}

/** What must be seen on the pots before the stage ends. */
function GateFields({ name, edit }: { name: StageName; edit: CropEdit }) {
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

/** What the plan counts with now, and where it comes from. */
function inForce(crop: string, name: StageName, field: Field | undefined): string {
  const words = supervisorWords.value.plan;
  const now = ({ shortest_days, likely_days, longest_days }: Stage) =>
    words.now(shortest_days, likely_days, longest_days);
  if (field?.value) {
    const by = supervisorWords.value.crops.ownBy(personName(field.by.person), stamp(field.by.stamp));
    return `${now(field.value as Stage)}. ${by}`;
  }
  const start = startOf(crop, name);
  if (!start) return words.none;
  const standing = word(words.standing, start.standing);
  return `${now(start.stage)}: ${start.source === '' ? standing : words.source(standing, start.source)}.`;
}
