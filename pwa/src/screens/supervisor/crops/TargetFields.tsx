import type { Field } from '../../../../../schema/types';
import { SelectField, TextField } from '../../../forms/fields';
import { wayOf } from '../../../forms/typed';
import { randomId } from '../../../journal/store/device';
import { Button } from '../../../parts/Button';
import { say } from '../../../parts/Toast';
import { potSize } from '../../../words/entry';
import { stamp } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { Section } from '../Page';
import type { CropEdit } from './cropedit';
import { personName, type Crop } from './crops';
import { focusSoon } from './GradeLists';
import { mostTargets, targetKey, targetParts, type TargetDraft, type TargetPart } from './targets';

/** The grower's own band of head sizes by days since the last pinch, row by row. */
export function TargetFields({ crop, edit, field }: { crop: Crop; edit: CropEdit; field: Field | undefined }) {
  const words = supervisorWords.value.crops.targets;
  const { targets: rows, setTargets } = edit;
  const isFull = rows.length >= mostTargets();
  const add = () => {
    const key = randomId();
    const last = rows.at(-1);
    setTargets([...rows, { key, texts: { day: '', low_mm: '', high_mm: '' }, pot: last?.pot }]);
    focusSoon(`[data-target="${key}"] input`);
  };
  const takeOut = (row: number) => {
    setTargets(rows.filter((_, i) => i !== row));
    say(words.taken(row + 1), () => setTargets(rows));
  };
  return (
    <Section title={words.title}>
      <p class="intro quiet">{words.intro}</p>
      {rows.length === 0 && <p>{words.none}</p>}
      {Array.isArray(field?.value) && field.value.length > 0 && (
        <p class="small quiet">
          {supervisorWords.value.crops.ownBy(personName(field.by.person), stamp(field.by.stamp))}
        </p>
      )}
      <div class="stages">
        {rows.map((draft, i) => (
          <Row
            key={draft.key}
            draft={draft}
            row={i + 1}
            sizes={sizesOf(crop, rows)}
            edit={edit}
            onOut={() => takeOut(i)}
          />
        ))}
      </div>
      <div class="actions">
        <Button disabled={isFull} onClick={add}>
          {words.add}
        </Button>
        {isFull && <p class="small">{words.full(mostTargets())}</p>}
      </div>
    </Section>
  );
}

/** Pot sizes of the crop and of its rows, smallest first. */
function sizesOf(crop: Crop, rows: readonly TargetDraft[]): number[] {
  return [...new Set([...crop.sizes, ...rows.flatMap(({ pot }) => pot ?? [])])].sort((a, b) => a - b);
}

interface RowProps {
  draft: TargetDraft;
  /** Its number, from 1. */
  row: number;
  sizes: readonly number[];
  edit: CropEdit;
  onOut: () => void;
}

function Row({ draft, row, sizes, edit, onOut }: RowProps) {
  const words = supervisorWords.value.crops.targets;
  const change = (next: TargetDraft) =>
    edit.setTargets(edit.targets.map((each) => (each.key === draft.key ? next : each)));
  const field = (part: TargetPart) => (
    <TextField
      label={words.field[part]}
      spoken={words.spoken(row, words.field[part])}
      typed={draft.texts[part]}
      answer={edit.targetReads.answers.get(targetKey(draft, part)) ?? {}}
      tried={false}
      mode={part === 'day' ? 'numeric' : 'decimal'}
      sign={wayOf(targetParts[part]).sign}
      onType={(text) => change({ ...draft, texts: { ...draft.texts, [part]: text } })}
    />
  );
  return (
    <fieldset class="stage" data-target={draft.key}>
      <legend>{words.legend(row)}</legend>
      <div class="two">
        {field('day')}
        <SelectField
          label={words.pot}
          value={draft.pot === undefined ? '' : String(draft.pot)}
          none={words.everyPot}
          options={sizes.map((size) => ({ value: String(size), label: potSize(size) }))}
          onChoose={(size) => change({ ...draft, pot: size === '' ? undefined : Number(size) })}
        />
      </div>
      <div class="two">
        {field('low_mm')}
        {field('high_mm')}
      </div>
      <div class="actions">
        <Button kind="quiet" aria-label={words.outOf(row)} onClick={onOut}>
          {words.out}
        </Button>
      </div>
    </fieldset>
  );
}
