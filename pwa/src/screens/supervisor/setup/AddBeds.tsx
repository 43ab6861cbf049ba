import { useMemo } from 'preact/hooks';
import { asImport } from '../../../journal/records/imports';
import { houses } from '../../../journal/records/registers';
import { useForm, type Form } from '../../../forms/form';
import { TextField } from '../../../forms/fields';
import { saveForm } from '../../../forms/saving';
import { Button } from '../../../parts/Button';
import { firstField, whereLost } from '../../../parts/focus';
import { distanceUnit, number } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { Section } from '../Page';
import { readSheet, type Reading } from '../sheet/reading';
import { sheetUnits } from '../sheet/asked';
import { there } from '../sheet/placing';
import { housesOf, MOST_BEDS, namesFrom, sheetOf, type Series } from './series';

const fields = ['houses', 'first', 'count', 'length', 'width', 'rows', 'across', 'entry', 'far'] as const;
const needed = fields.slice(0, 7);

/** Many beds at once, each house with its own: seen before anything is written. */
export function AddBeds() {
  const words = supervisorWords.value.nursery.beds;
  const form = useForm('many beds', { lot: '', bed: '' });
  const series = Object.fromEntries(fields.map((field) => [field, form?.at(field) ?? ''])) as Record<
    (typeof fields)[number],
    string
  > satisfies Series;
  const count = /^\d{1,4}$/.test(series.count.trim()) ? Number(series.count) : 0;
  const units = sheetUnits();
  const known = there.value;
  const isWhole = needed.every((field) => series[field].trim() !== '') && count > 0 && count <= MOST_BEDS;
  const text = isWhole ? sheetOf(series, count, units) : '';
  const reading = useMemo(() => (text === '' ? undefined : readSheet(text, known, units)), [text, known, units.long]);
  if (!form) return null;
  const problem = series.count.trim() === '' || (count > 0 && count <= MOST_BEDS) ? undefined : words.many(MOST_BEDS);
  const field = (name: (typeof fields)[number], more: { mode?: 'decimal' | 'numeric'; sign?: string } = {}) => (
    <TextField
      key={name}
      label={words.field[name]}
      {...form.field(name, name === 'count' && problem ? { problem } : {})}
      {...more}
      {...(name === 'houses'
        ? { list: known.houses.flatMap((house) => (house.retired ? [] : (house.name ?? []))) }
        : {})}
    />
  );
  return (
    <Section title={words.title} class="add-beds">
      <p class="quiet">{words.intro}</p>
      <form
        class="crop"
        onSubmit={(event) => {
          event.preventDefault();
          const fields = event.currentTarget;
          // The button that was pressed goes with what it added: the next beds begin with their house.
          if (reading) void put(form, reading).then(() => whereLost(() => firstField(fields)));
        }}
      >
        <div class="many">
          {field('houses')}
          {field('count', { mode: 'numeric' })}
          {field('first')}
          {field('rows', { mode: 'numeric' })}
          {field('across', { mode: 'numeric' })}
          {field('length', { mode: 'decimal', sign: distanceUnit() })}
          {field('width', { mode: 'decimal', sign: distanceUnit() })}
          {field('entry')}
          {field('far')}
        </div>
        <Planned reading={reading} series={series} count={count} />
      </form>
    </Section>
  );
}

async function put(form: Form, reading: Reading): Promise<void> {
  const words = supervisorWords.value.nursery.beds;
  const said = words.done(reading.houses, reading.beds);
  if (await saveForm(form, asImport(`${words.source}: ${said}`, reading.intents), said)) form.clear();
}

interface PlannedProps {
  reading: Reading | undefined;
  series: Series;
  count: number;
}

/** What will be there once it is saved, or what has to be put right first. */
function Planned({ reading, series, count }: PlannedProps) {
  const words = supervisorWords.value.nursery.beds;
  if (!reading) return <p class="quiet">{words.fill}</p>;
  // What is wrong with one bed of a series is wrong with all.
  const problems = [...new Set(reading.rows.flatMap((row) => row.problems))];
  if (problems.length > 0) {
    return (
      <ul class="warning">
        {problems.map((problem) => (
          <li key={problem}>{problem}</li>
        ))}
      </ul>
    );
  }
  const names = namesFrom(series.first, count);
  const [first = '', second = ''] = names;
  const named = names.length < 4 ? names.join(', ') : words.names(first, second, names.at(-1) ?? '', names.length);
  const old = new Set([...houses.value.values()].flatMap(({ name, retired }) => (retired ? [] : (name ?? []))));
  const [bed] = reading.intents.flatMap(({ kind, body }) => (kind === 'bed' ? [body as Measured] : []));
  const there = reading.rows.length - reading.beds;
  return (
    <div class="planned" role="status">
      <ul>
        {housesOf(series.houses).map((house) => (
          <li key={house}>
            <b>{house}</b> {old.has(house) ? words.inHouse : words.newHouse}: {named}
          </li>
        ))}
      </ul>
      {bed && <p>{sizes(bed)}</p>}
      {there > 0 && <p class="attention">{words.already(there)}</p>}
      {reading.beds > 0 && (
        <Button kind="main" submit>
          {words.add(reading.beds)}
        </Button>
      )}
    </div>
  );
}

interface Measured {
  rows: number;
  across: number;
  length_mm: number;
  width_mm: number;
}

/** How far apart the places are tells a mistyped row count at a glance. */
function sizes({ rows, across, length_mm: long, width_mm: wide }: Measured): string {
  const words = supervisorWords.value.nursery.beds;
  const isInch = sheetUnits().short === 'in';
  const apart = (mm: number) => `${number(isInch ? mm / 25.4 : mm / 10, 1)} ${sheetUnits().short}`;
  return words.each(number(rows), number(across), number(rows * across), apart(long / rows), apart(wide / across));
}
