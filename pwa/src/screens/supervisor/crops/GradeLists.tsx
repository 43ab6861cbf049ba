import { useState } from 'preact/hooks';
import { randomId } from '../../../journal/store/device';
import { Button } from '../../../parts/Button';
import { say } from '../../../parts/Toast';
import { supervisorWords } from '../../../words/supervisor';
import { amount, wayOf } from '../../../forms/typed';
import { TextField } from '../../../forms/fields';
import type { CropEdit } from './cropedit';
import { added, moved, mostGrades, describeGrade, type Draft } from './cropgrades';
import { potSize } from '../../../words/entry';
import type { Crop } from './crops';
import { GradeFields } from './GradeFields';
import { GradeSeen } from './GradeSeen';
import { Section } from '../Page';

/** The grades of a crop, an ordered list for each pot size. */
export function GradeLists({ crop, edit }: { crop: Crop; edit: CropEdit }) {
  const words = supervisorWords.value.crops;
  const sizes = [...new Set([...crop.sizes, ...edit.drafts.map((draft) => draft.pot_mm)])].sort((a, b) => a - b);
  const [open, setOpen] = useState<ReadonlySet<string>>(new Set());
  const begin = (size: number) => {
    const key = randomId();
    edit.setDrafts(added(edit.drafts, { key, pot_mm: size, name: '', texts: {} }));
    setOpen(new Set([...open, key]));
    focusSoon(`[data-grade="${key}"] input`);
  };
  const toggle = (key: string) =>
    setOpen(new Set(open.has(key) ? [...open].filter((each) => each !== key) : [...open, key]));
  return (
    <Section title={words.gradesTitle} class="grades">
      <p class="intro quiet">{words.gradesIntro}</p>
      {sizes.length === 0 && <p>{words.sizesNone}</p>}
      {sizes.map((size) => (
        <OneSize
          key={size}
          crop={crop}
          size={size}
          edit={edit}
          open={open}
          onToggle={toggle}
          onAdd={() => begin(size)}
        />
      ))}
      <AnotherSize onAdd={begin} isFull={edit.drafts.length >= mostGrades()} />
    </Section>
  );
}

interface SizeProps {
  crop: Crop;
  size: number;
  edit: CropEdit;
  open: ReadonlySet<string>;
  onToggle: (key: string) => void;
  onAdd: () => void;
}

function OneSize({ crop, size, edit, open, onToggle, onAdd }: SizeProps) {
  const words = supervisorWords.value.crops;
  const own = edit.drafts.filter((draft) => draft.pot_mm === size);
  const isFull = edit.drafts.length >= mostGrades();
  const move = (key: string, by: -1 | 1) => {
    edit.setDrafts(moved(edit.drafts, key, by));
    // The browser drops the focus of a button that changes its place; the hand on the keyboard must not lose it.
    focusSoon(`[data-grade="${key}"] [data-by="${by}"]:enabled, [data-grade="${key}"] [data-by]:enabled`);
  };
  const takeOut = (draft: Draft) => {
    const before = edit.drafts;
    edit.setDrafts(before.filter((each) => each.key !== draft.key));
    say(words.gradeTaken(nameOf(draft)), () => edit.setDrafts(before));
  };
  return (
    <div class="gradelist">
      <h3>{words.gradeList(potSize(size))}</h3>
      {own.length === 0 && <p class="quiet">{words.gradeListNone}</p>}
      <ol>
        {own.map((draft, i) => (
          <OneGrade
            key={draft.key}
            draft={draft}
            edit={edit}
            isOpen={open.has(draft.key)}
            onToggle={() => onToggle(draft.key)}
            onUp={i > 0 ? () => move(draft.key, -1) : undefined}
            onDown={i + 1 < own.length ? () => move(draft.key, 1) : undefined}
            onOut={() => takeOut(draft)}
          />
        ))}
      </ol>
      <div class="actions">
        <Button disabled={isFull} onClick={onAdd}>
          {words.gradeAdd(potSize(size))}
        </Button>
        {isFull && <p class="small">{words.gradeFull(mostGrades())}</p>}
      </div>
      {own.length > 0 && (
        <GradeSeen crop={crop.name} size={size} reads={own.map((draft) => edit.reads.get(draft.key))} />
      )}
    </div>
  );
}

function nameOf(draft: Draft): string {
  return draft.name.trim() === '' ? supervisorWords.value.crops.gradeNew : draft.name.trim();
}

interface GradeProps {
  draft: Draft;
  edit: CropEdit;
  isOpen: boolean;
  onToggle: () => void;
  onUp: (() => void) | undefined;
  onDown: (() => void) | undefined;
  onOut: () => void;
}

function OneGrade({ draft, edit, isOpen, onToggle, onUp, onDown, onOut }: GradeProps) {
  const words = supervisorWords.value.crops;
  const name = nameOf(draft);
  const read = edit.reads.get(draft.key);
  const change = (next: Draft) => edit.setDrafts(edit.drafts.map((each) => (each.key === draft.key ? next : each)));
  // What is wrong must be seen, so a grade with a fault cannot be closed over it.
  const isShown = isOpen || read?.grade === undefined;
  return (
    <li data-grade={draft.key}>
      <div class="gradehead">
        <p>
          <b>{name}</b>
          {read?.grade && <span class="small quiet">{describeGrade(read.grade)}</span>}
        </p>
        <div class="actions">
          <Button
            aria-expanded={isShown}
            aria-label={(isShown ? words.gradeClose : words.gradeChange)(name)}
            onClick={onToggle}
          >
            {isShown ? words.close : words.change}
          </Button>
          <Button data-by="-1" disabled={!onUp} aria-label={words.gradeUp(name)} onClick={onUp}>
            {words.up}
          </Button>
          <Button data-by="1" disabled={!onDown} aria-label={words.gradeDown(name)} onClick={onDown}>
            {words.down}
          </Button>
          <Button kind="quiet" aria-label={words.gradeOut(name)} onClick={onOut}>
            {words.out}
          </Button>
        </div>
      </div>
      {isShown && read && <GradeFields draft={draft} read={read} onChange={change} />}
    </li>
  );
}

/** The list of a pot size that no lot has yet. */
function AnotherSize({ onAdd, isFull }: { onAdd: (size: number) => void; isFull: boolean }) {
  const words = supervisorWords.value.crops;
  const [typed, type] = useState('');
  const [tried, setTried] = useState(false);
  const name = words.sizeAnother;
  const answer = amount(typed, { kind: 'profile', field: 'grades[].pot_mm', name, measure: 'length', must: true });
  const add = () => {
    if (answer.value === undefined) {
      setTried(true);
      return;
    }
    type('');
    setTried(false);
    onAdd(answer.value);
  };
  return (
    <div class="anothersize">
      <TextField
        label={name}
        typed={typed}
        answer={answer}
        tried={tried}
        mode="decimal"
        sign={wayOf('length').sign}
        onType={type}
      />
      <Button disabled={isFull} onClick={add}>
        {words.sizeAdd}
      </Button>
    </div>
  );
}

/** After the next drawing: what is to be focused is not there yet. */
export function focusSoon(selector: string): void {
  requestAnimationFrame(() => requestAnimationFrame(() => document.querySelector<HTMLElement>(selector)?.focus()));
}
