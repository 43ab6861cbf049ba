/** Fields that choose a thing: a lot, the stretch that its pots stand on, and a place on a bed for pots to go to. */
import { useEffect } from 'preact/hooks';
import { appWords } from '../../words';
import { gettingRecords } from '../../words/arriving';
import { workWords } from '../../words/rooms';
import { beds, spans } from '../../journal/records/registers';
import { Button } from '../../parts/Button';
import { go, route } from '../../router';
import type { Form } from '../../forms/form';
import { PickField, TextField } from '../../forms/fields';
import {
  addressOf,
  bedsOf,
  knownBeds,
  knownLots,
  lotsOn,
  overlapping,
  standing,
  stretchName,
  stretchesOf,
  type Location,
} from '../../forms/place';
import { nameOfLot } from '../../words/names';
import { amount, type Answer } from '../../forms/typed';

/** The lot that a form is about: the one chosen in it, else the place's own, else the only one on the bed. */
export function lotOf(form: Form, place: Location): string {
  if (form.at('lot') !== '') return form.at('lot');
  if (place.lot !== '') return place.lot;
  const there = place.bed === '' ? [] : lotsOn(place.bed);
  return there.length === 1 ? (there[0] ?? '') : '';
}

export function lotAnswer(lot: string): Answer<string> {
  return lot === '' ? { problem: workWords.value.work.pick.noLot } : { value: lot };
}

/** Asks for the lot where the place does not tell it. */
export function LotPick({
  form,
  place,
  name,
  first = () => false,
}: {
  form: Form;
  place: Location;
  name: string;
  /** The lots that a form is mostly about, which come before the others. */
  first?: (lot: string) => boolean;
}) {
  const words = workWords.value.work;
  const scanned = route.value.query.get('pick') ?? '';
  useEffect(() => {
    if (scanned === '') return;
    form.set({ lot: scanned, stretch: '' });
    go(addressOf(name, place), { instead: true });
  }, [scanned]);
  if (place.lot !== '') return null;
  const here = place.bed === '' ? [] : lotsOn(place.bed);
  const all = here.length > 0 ? here : knownLots().map((lot) => lot.id);
  const options = all.toSorted((a, b) => Number(first(b)) - Number(first(a)));
  const lot = lotOf(form, place);
  if (options.length === 0) return <p class="empty">{gettingRecords() ?? words.pick.noLots}</p>;
  return (
    <>
      <PickField
        label={words.pick.lot}
        options={options.map((id) => ({ value: id, label: nameOfLot(id) }))}
        typed={lot}
        answer={lotAnswer(lot)}
        tried={form.tried}
        onType={(chosen) => form.set({ lot: chosen, stretch: '' })}
      />
      {here.length === 0 && (
        <Button size="walk" onClick={() => go(`/scan?as=pick&then=${encodeURIComponent(addressOf(name, place))}`)}>
          {words.sheet.scan}
        </Button>
      )}
    </>
  );
}

const NO_BED = 'none';

/** Where a lot's pots stand, as the ledger has it. Span is "" for pots on no bed. */
export interface Stood {
  span: string;
  bed: string;
  standing: number | undefined;
}

/** The stretch that a form speaks of: the chosen one, else the lot's only one, on this bed where there is a bed. */
export function stretchOf(form: Form, place: Location, lot: string): Answer<Stood> {
  const options = lot === '' ? [] : stretchOptions(lot, place);
  const chosen =
    options.find(({ value }) => value === form.at('stretch')) ?? (options.length === 1 ? options[0] : undefined);
  if (!chosen) return { problem: workWords.value.work.pick.noStretch };
  const span = chosen.value === NO_BED ? '' : chosen.value;
  return { value: { span, bed: spans.value.get(span)?.bed ?? '', standing: standing(lot, span) } };
}

export function StretchPick({ form, place, lot }: { form: Form; place: Location; lot: string }) {
  const words = workWords.value.work.pick;
  const options = lot === '' ? [] : stretchOptions(lot, place);
  const answer = stretchOf(form, place, lot);
  if (options.length === 0) return null;
  const chosen = answer.value ? answer.value.span || NO_BED : '';
  return (
    <PickField
      label={words.stretch}
      options={options}
      typed={chosen}
      answer={answer}
      tried={form.tried}
      onType={(stretch) => form.set({ stretch })}
    />
  );
}

function stretchOptions(lot: string, place: Location): { value: string; label: string; hint: string }[] {
  const all = stretchesOf(lot);
  const here = all.filter((span) => span.bed === place.bed);
  const shown = here.length > 0 ? here : all;
  const options = shown.map((span) => ({
    value: span.id,
    label: stretchName(span),
    hint: counted(standing(lot, span.id)),
  }));
  const loose = standing(lot, '');
  // Pots on no bed are a place of their own, and the only one of a lot that stands nowhere yet.
  if (here.length === 0 && (all.length === 0 || (loose ?? 0) !== 0)) {
    options.push({ value: NO_BED, label: workWords.value.work.pick.noneBed, hint: counted(loose) });
  }
  return options;
}

function counted(pots: number | undefined): string {
  const words = workWords.value.work.pick;
  return gettingRecords() ?? (pots === undefined ? words.notCounted : words.standing(pots));
}

/** A place on a bed for pots to go to: an existing stretch of the lot is taken up where the rows are the same. */
export interface Goal {
  bed: string;
  from: number;
  to: number;
}

/**
 * The bed and rows chosen as a place to go to; on no bed (undefined value, no problem) where that may be and was chosen.
 * A question left unanswered is never taken for that.
 */
export function goalOf(form: Form, lot: string, mayBeNone: boolean): Answer<Goal>[] {
  const words = workWords.value.work;
  const bed = form.at('bed');
  if (bed === NO_BED) return [{}];
  if (bed === '') return [{ problem: mayBeNone ? words.pick.noBedOrNone : words.pick.noBed }];
  const [from, to] = rowAnswers(form, bed);
  if (from.value === undefined || to.value === undefined) {
    return [from, to].flatMap(({ problem }) => (problem === undefined ? [] : [{ problem }]));
  }
  const other = overlapping(bed, from.value, to.value, lot);
  const goal: Answer<Goal> = { value: { bed, from: from.value, to: to.value } };
  return [other ? { ...goal, hint: words.hint.overlaps(nameOfLot(other)) } : goal];
}

function rowAnswers(form: Form, bed: string): [Answer<number>, Answer<number>] {
  const words = workWords.value.work;
  const rows = beds.value.get(bed)?.rows ?? Number.POSITIVE_INFINITY;
  const read = (field: 'from_row' | 'to_row', name: string): Answer<number> => {
    const typed = amount(form.at(field), { kind: 'span', field, name, measure: 'count', must: true });
    return (typed.value ?? 0) > rows ? { problem: words.typed.rowOver(name, rows) } : typed;
  };
  const from = read('from_row', words.pick.fromRow);
  const to = read('to_row', words.pick.toRow);
  if (from.value !== undefined && to.value !== undefined && to.value < from.value) {
    return [from, { problem: words.typed.rowUnder(words.pick.toRow, from.value) }];
  }
  return [from, to];
}

export function GoalPick({
  form,
  lot,
  label,
  mayBeNone,
}: {
  form: Form;
  lot: string;
  label: string;
  mayBeNone: boolean;
}) {
  const words = workWords.value.work;
  const bed = form.at('bed');
  const rows = beds.value.get(bed)?.rows;
  const [from, to] = bed === '' || bed === NO_BED ? [{}, {}] : rowAnswers(form, bed);
  const hint = goalOf(form, lot, mayBeNone)[0]?.hint;
  const here = [route.value.query.get('bed') ?? '', ...bedsOf(lot)];
  const options = knownBeds(here).map((each) => ({ value: each.id, label: each.name }));
  return (
    <>
      <PickField
        label={label}
        options={mayBeNone ? [{ value: NO_BED, label: words.pick.noneBed }, ...options] : options}
        typed={bed}
        answer={bed === '' ? { problem: mayBeNone ? words.pick.noBedOrNone : words.pick.noBed } : {}}
        tried={form.tried}
        onType={(chosen) => form.set({ bed: chosen, ...rowsOfBare(chosen) })}
      />
      {bed !== '' && bed !== NO_BED && (
        <>
          {rows !== undefined && <p class="small quiet">{words.pick.rowsOf(rows)}</p>}
          <div class="two">
            <TextField label={words.pick.fromRow} {...form.field('from_row', from)} mode="numeric" />
            <TextField label={words.pick.toRow} {...form.field('to_row', hint ? { ...to, hint } : to)} mode="numeric" />
          </div>
        </>
      )}
    </>
  );
}

/** All rows of a bed that nothing stands on; of any other nothing is guessed. */
function rowsOfBare(bed: string): { from_row: string; to_row: string } {
  const rows = beds.value.get(bed)?.rows;
  return rows !== undefined && lotsOn(bed).length === 0
    ? { from_row: '1', to_row: String(rows) }
    : { from_row: '', to_row: '' };
}

/** Beds by name, in one line. */
export function bedList(ids: readonly string[]): string {
  const names = new Map(knownBeds().map((bed) => [bed.id, bed.name]));
  return ids.map((id) => names.get(id) ?? appWords.value.common.unknown).join(', ');
}
