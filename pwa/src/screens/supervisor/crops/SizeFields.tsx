import { useState } from 'preact/hooks';
import type { Field } from '../../../../../schema/types';
import { SelectField, TextField } from '../../../forms/fields';
import { sites } from '../../../journal/records/registers';
import { Button } from '../../../parts/Button';
import { say } from '../../../parts/Toast';
import { potSize } from '../../../words/entry';
import { stamp } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { Section } from '../Page';
import type { CropEdit } from './cropedit';
import { personName, type Crop } from './crops';
import { GateFields } from './GateFields';
import { focusSoon } from './GradeLists';
import { labelOf, mostSizes, newSize, partsOf, sizeKey, spokenOf, type SizeDraft, type SizePart } from './sizes';
import { stageNames, type StageName } from './stages';

interface Props {
  crop: Crop;
  edit: CropEdit;
  field: Field | undefined;
  /** What the crop counts with for a stage, and where that comes from. */
  inForce: (name: StageName) => string;
}

/** Where stages differ for pots of one size, a line a stage and size. */
export function SizeFields({ crop, edit, field, inForce }: Props) {
  const words = supervisorWords.value.crops.sizes;
  const { sizes: lines, setSizes } = edit;
  const takeOut = (line: SizeDraft) => {
    setSizes(lines.filter((each) => each !== line));
    say(words.taken(titleOf(line)), () => setSizes(lines));
  };
  return (
    <Section title={words.title}>
      <p class="intro quiet">{words.intro}</p>
      {Array.isArray(field?.value) && field.value.length > 0 && (
        <p class="small quiet">
          {supervisorWords.value.crops.ownBy(personName(field.by.person), stamp(field.by.stamp))}
        </p>
      )}
      <div class="stages">
        {lines.map((line) => (
          <Line key={sizeKey(line)} line={line} edit={edit} inForce={inForce(line.stage)} onOut={() => takeOut(line)} />
        ))}
      </div>
      <Add crop={crop} edit={edit} />
    </Section>
  );
}

function titleOf({ stage, pot }: SizeDraft): string {
  return supervisorWords.value.crops.sizes.legend(supervisorWords.value.plan.stage[stage], potSize(pot));
}

/** Chooses the stage and the pot size of one more line; where they have one already, leads to it. */
function Add({ crop, edit }: { crop: Crop; edit: CropEdit }) {
  const words = supervisorWords.value.crops.sizes;
  const { stage: names } = supervisorWords.value.plan;
  const { sizes: lines, setSizes, stagesGone: gone } = edit;
  const pots = [...new Set([...crop.sizes, ...lines.map(({ pot }) => pot)])].sort((a, b) => a - b);
  const [stage, setStage] = useState<string>(gone.includes('finished_pot') ? 'finished_pot' : (gone[0] ?? ''));
  const [pot, setPot] = useState(pots[0] ?? 0);
  if (pots.length === 0) return <p>{words.noSizes}</p>;
  if (gone.length === 0) return <p>{words.noStages}</p>;
  const isFull = lines.length >= mostSizes();
  const add = () => {
    const name = stageNames.find((each) => each === stage);
    if (!name) return;
    const line = newSize(name, pot);
    if (!lines.some((each) => sizeKey(each) === sizeKey(line))) setSizes([...lines, line]);
    focusSoon(`[data-size="${sizeKey(line)}"] input`);
  };
  return (
    <>
      <div class="two">
        <SelectField
          label={words.stage}
          value={stage}
          options={gone.map((each) => ({ value: each, label: names[each] }))}
          onChoose={setStage}
        />
        <SelectField
          label={words.pot}
          value={String(pot)}
          options={pots.map((each) => ({ value: String(each), label: potSize(each) }))}
          onChoose={(each) => setPot(Number(each))}
        />
      </div>
      <div class="actions">
        <Button disabled={isFull} onClick={add}>
          {words.add}
        </Button>
        {isFull && <p class="small">{words.full(mostSizes())}</p>}
      </div>
    </>
  );
}

interface LineProps {
  line: SizeDraft;
  edit: CropEdit;
  inForce: string;
  onOut: () => void;
}

function Line({ line, edit, inForce, onOut }: LineProps) {
  const words = supervisorWords.value.crops.sizes;
  const change = (next: SizeDraft) => edit.setSizes(edit.sizes.map((each) => (each === line ? next : each)));
  // Money says in which.
  const currency = [...sites.value.values()][0]?.currency;
  const field = (part: SizePart) => (
    <TextField
      key={part}
      label={part === 'material_c' && currency ? `${labelOf(part)}, ${currency}` : labelOf(part)}
      spoken={spokenOf(line, part)}
      typed={line.texts[part]}
      answer={edit.sizeReads.answers.get(`${sizeKey(line)} ${part}`) ?? {}}
      tried={true}
      mode="decimal"
      sign={part === 'share_bp' ? '%' : ''}
      onType={(text) => change({ ...line, texts: { ...line.texts, [part]: text } })}
    />
  );
  const parts = partsOf(line.stage);
  return (
    <fieldset class="stage" data-size={sizeKey(line)}>
      <legend>{titleOf(line)}</legend>
      <p class="small quiet">{words.without(inForce)}</p>
      <div class="three">{parts.slice(0, 3).map(field)}</div>
      <div class="two">{parts.slice(3, -3).map(field)}</div>
      <div class="three">{parts.slice(-3).map(field)}</div>
      <GateFields
        of={titleOf(line)}
        typed={(part) => line.gate[part]}
        answer={(part) => edit.sizeReads.answers.get(`${sizeKey(line)} gate.${part}`)}
        none={words.asCrop}
        onType={(part, text) =>
          change({
            ...line,
            gate: part === 'line' ? { line: text, at_least: '', share_bp: '' } : { ...line.gate, [part]: text },
          })
        }
      />
      <div class="actions">
        <Button kind="quiet" aria-label={words.outOf(titleOf(line))} onClick={onOut}>
          {words.out}
        </Button>
      </div>
    </fieldset>
  );
}
