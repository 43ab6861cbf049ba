/** Every house with its beds: renamed, changed and retired in place. */
import { useState } from 'preact/hooks';
import type { Bed, House } from '../../../../../schema/types';
import { spansOf } from '../../../journal/records/input';
import { beds, houses, seenOf, type Plain } from '../../../journal/records/registers';
import { intent } from '../../../journal/outbox/write';
import { saveForm } from '../../../forms/saving';
import { TextField } from '../../../forms/fields';
import { problemsOf, wordsTyped } from '../../../forms/typed';
import { Button } from '../../../parts/Button';
import { DataTable, type Column } from '../../../parts/DataTable';
import { goToRow, placeAfter } from '../../../parts/focus';
import { Link } from '../../../router';
import { distance, number } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { BedEdit } from '../bed/BedEdit';
import { changedFrom, leaving, RegisterForm, useRegisterEdit } from '../lot/RegisterEdit';
import { bedName } from '../names';
import { Section } from '../Page';

export function Houses() {
  const words = supervisorWords.value.nursery.houses;
  const inOrder = <T extends { order?: number; name?: string }>(all: readonly T[]) =>
    all.toSorted((a, b) => (a.order ?? 0) - (b.order ?? 0) || (a.name ?? '').localeCompare(b.name ?? ''));
  const all = inOrder([...houses.value.values()]);
  const bedsIn = (house: string) => inOrder([...beds.value.values()].filter((bed) => bed.house === house));
  const now = all.filter((house) => !house.retired);
  const gone = all.filter((house) => house.retired);
  if (all.length === 0) return null;
  return (
    <Section title={words.title}>
      {now.map((house) => (
        <OneHouse key={house.id} house={house} all={bedsIn(house.id)} />
      ))}
      {gone.length > 0 && (
        <>
          <h3>{words.retired}</h3>
          <ul class="ruled narrow">
            {gone.map((house) => (
              <li key={house.id}>
                {house.name} <RetireButton kind="house" of={house} />
              </li>
            ))}
          </ul>
        </>
      )}
    </Section>
  );
}

function OneHouse({ house, all }: { house: Plain<House>; all: readonly Plain<Bed>[] }) {
  const words = supervisorWords.value.nursery.houses;
  const [open, edit] = useState('');
  const now = all.filter((bed) => !bed.retired);
  const gone = all.filter((bed) => bed.retired);
  return (
    <details class="one-house" data-row={house.id} open={houses.value.size < 4}>
      <summary>
        <b>{supervisorWords.value.pages.houseName(house.name ?? '')}</b> {words.beds(now.length)}
      </summary>
      {open === house.id ? (
        <HouseEdit house={house} onDone={() => edit('')} />
      ) : (
        <div class="actions">
          <Button onClick={() => edit(house.id)}>{words.rename}</Button>
          {now.length === 0 && <RetireButton kind="house" of={house} />}
        </div>
      )}
      {beds.value.has(open) && <BedEdit id={open} onDone={() => edit('')} />}
      {now.length > 0 && (
        <DataTable
          caption={words.bedsOf(house.name ?? '')}
          captionUnseen
          columns={columns(edit)}
          rows={now}
          keyOf={({ id }) => id}
          stacks="compact"
        />
      )}
      {gone.length > 0 && (
        <p>
          {words.retired}:{' '}
          {gone.map((bed) => (
            <span key={bed.id}>
              {bedName(bed.name ?? '')} <RetireButton kind="bed" of={bed} />{' '}
            </span>
          ))}
        </p>
      )}
    </details>
  );
}

function columns(onEdit: (bed: string) => void): Column<Plain<Bed>>[] {
  const words = supervisorWords.value.nursery.houses;
  const size = (mm: number | undefined) => (mm === undefined ? '' : distance(mm, 1));
  return [
    {
      key: 'name',
      title: words.bed,
      heads: true,
      cell: (bed) => (
        <span data-row={bed.id}>
          <Link to={`/beds/${bed.id}`}>{bedName(bed.name ?? '')}</Link>
        </span>
      ),
    },
    { key: 'rows', title: words.rows, numeric: true, cell: ({ rows }) => (rows === undefined ? '' : number(rows)) },
    { key: 'across', title: words.across, numeric: true, cell: ({ across }) => across ?? '' },
    { key: 'length', title: words.length, numeric: true, cell: (bed) => size(bed.length_mm) },
    { key: 'width', title: words.width, numeric: true, cell: (bed) => size(bed.width_mm) },
    { key: 'lots', title: words.lots, numeric: true, cell: (bed) => spansOf(bed.id).length },
    {
      key: 'change',
      title: words.change,
      offPaper: true,
      cell: (bed) => (
        <span class="actions">
          <Button onClick={() => onEdit(bed.id)} aria-label={words.changeBed(bed.name ?? '')}>
            {words.change}
          </Button>
          {spansOf(bed.id).length === 0 && <RetireButton kind="bed" of={bed} />}
        </span>
      ),
    },
  ];
}

/** Takes out of use what nothing stands on, and back into use. Nothing of its past is lost. */
function RetireButton({ kind, of }: { kind: 'house' | 'bed'; of: Plain<House> | Plain<Bed> }) {
  const words = supervisorWords.value.nursery.houses;
  const isBack = of.retired === true;
  const name = of.name ?? '';
  const put = async (pressed: HTMLElement) => {
    // After retiring, to the next row, but not to its button, which would retire that one too; after bringing back, to what came back.
    const goOn = isBack ? () => goToRow(of.id) : placeAfter(pressed.closest('tr') ?? pressed.closest('.one-house'));
    await saveForm(
      `retire ${of.id}`,
      [intent(kind, { of: of.id, saw: seenOf(kind, of.id, ['retired']), retired: !isBack })],
      isBack ? words.back(name) : words.gone(name),
    );
    goOn();
  };
  return (
    <Button
      kind="quiet"
      onClick={(event) => void put(event.currentTarget)}
      aria-label={isBack ? words.useAgain(name) : words.retireName(name)}
    >
      {isBack ? words.use : words.retire}
    </Button>
  );
}

function HouseEdit({ house, onDone }: { house: Plain<House>; onDone: () => void }) {
  const words = supervisorWords.value.nursery.houses;
  const promise = supervisorWords.value.promise;
  const shown = (field: string) => (field === 'name' ? (house.name ?? '') : (house.note ?? ''));
  const edit = useRegisterEdit('house', house.id, '', shown);
  if (!edit) return null;
  const name = wordsTyped(edit.at('name'), 'house', 'name', words.name, true);
  const note = wordsTyped(edit.at('note'), 'house', 'note', words.note);
  const problems = problemsOf([name, note]);
  const save = async () => {
    if (await edit.save(changedFrom(house, { name: name.value, note: note.value }), words.saved)) onDone();
  };
  return (
    <RegisterForm
      edit={edit}
      kind="house-fields"
      problems={problems}
      onSave={save}
      save={promise.editSave}
      beside={leaving(edit, promise.editCancel, onDone)}
    >
      <TextField label={words.name} {...edit.field('name', name)} />
      <TextField label={words.note} {...edit.field('note', note)} />
    </RegisterForm>
  );
}
