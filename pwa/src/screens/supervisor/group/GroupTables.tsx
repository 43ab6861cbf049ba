/** The tables of nurseries side by side: a row is a crop, or a crop in a ship week, of one nursery. */
import type { CropBrief, WeekBrief } from '../../../../../schema/types';
import { cropKey } from '../../../../../sync/bed/crop';
import { byCode, DataTable, type Column } from '../../../parts/DataTable';
import { estimate, number, percent, points, range, shipWeek } from '../../../words/format';
import { nameOfCrop } from '../../../words/names';
import { supervisorWords } from '../../../words/supervisor';
import type { Named } from './groupWords';

type Of<What> = What & { nursery: string; site: string };

function cropName(crop: CropBrief): string {
  const words = supervisorWords.value.group;
  return crop.crop === '' ? words.several : nameOfCrop(crop.crop);
}

/** The same crop of all nurseries stands together. */
function rowsOf<What extends { crop: string }>(all: readonly Named[], of: (one: Named) => readonly What[]): Of<What>[] {
  const rows = all.flatMap((one) => of(one).map((what) => ({ ...what, nursery: one.name, site: one.site })));
  const key = (row: Of<What>) => (row.crop === '' ? '~' : cropKey(row.crop));
  return rows.sort((a, b) => byCode(key(a), key(b)) || byCode(a.nursery, b.nursery));
}

const nurseryColumn = <Row extends { nursery: string }>(): Column<Row> => ({
  key: 'nursery',
  title: supervisorWords.value.group.nursery,
  cell: (row) => row.nursery,
  by: (row) => row.nursery,
});

export function Even({ all }: { all: readonly Named[] }) {
  const words = supervisorWords.value.group;
  const rows = rowsOf(all, (one) => one.brief?.crops.filter((crop) => crop.beds > 0) ?? []);
  const columns: Column<Of<CropBrief>>[] = [
    { key: 'crop', title: words.crop, cell: cropName, by: cropName, heads: true },
    nurseryColumn(),
    { key: 'scored', title: words.even.scored, cell: (row) => words.even.of(row.scored, row.beds), whole: true },
    {
      key: 'middle',
      title: words.even.middle,
      cell: (row) => (row.scored > 0 ? points(row.median) : '–'),
      by: (row) => (row.scored > 0 ? row.median : -1),
      whole: true,
    },
    {
      key: 'range',
      title: words.even.range,
      cell: (row) => (row.scored > 0 ? range({ low: row.lowest, high: row.highest, known: true }, points) : '–'),
      whole: true,
    },
    {
      key: 'least',
      title: words.even.least,
      cell: (row) =>
        row.least
          ? words.even.leastOf(
              supervisorWords.value.pages.bedName(row.least.bed),
              estimate(row.least.uniformity, points),
            )
          : '–',
    },
  ];
  return <Table said={words.even} columns={columns} rows={rows} keyOf={(row) => `${row.site} ${row.crop}`} />;
}

export function Grades({ all }: { all: readonly Named[] }) {
  const words = supervisorWords.value.group;
  const rows = rowsOf(all, (one) => one.brief?.crops.filter((crop) => crop.whole > 0 || crop.early > 0) ?? []);
  const of = (count: number, whole: number) =>
    whole > 0 ? words.grades.of(count, whole, percent(count / whole)) : '–';
  const columns: Column<Of<CropBrief>>[] = [
    { key: 'crop', title: words.crop, cell: cropName, by: cropName, heads: true },
    nurseryColumn(),
    {
      key: 'best',
      title: words.grades.best,
      cell: (row) => of(row.best, row.whole),
      by: (row) => (row.whole > 0 ? row.best / row.whole : -1),
      whole: true,
    },
    {
      key: 'any',
      title: words.grades.any,
      cell: (row) => of(row.graded, row.whole),
      by: (row) => (row.whole > 0 ? row.graded / row.whole : -1),
      whole: true,
    },
    {
      key: 'early',
      title: words.grades.early,
      cell: (row) => (row.early > 0 ? words.grades.earlyLots(row.early) : '–'),
      whole: true,
    },
  ];
  return <Table said={words.grades} columns={columns} rows={rows} keyOf={(row) => `${row.site} ${row.crop}`} />;
}

export function Weeks({ all, over }: { all: readonly Named[]; over: boolean }) {
  const { weeks: words, crop, nursery, noName } = supervisorWords.value.group;
  const reach = Math.max(0, ...all.map((one) => (over ? one.brief?.weeks_before : one.brief?.weeks_after) ?? 0));
  const rows = rowsOf(all, (one) => one.brief?.weeks.filter((week) => week.over === over) ?? []);
  // Those to come in order, those that are over with the newest first.
  rows.sort((a, b) => (over ? -1 : 1) * byCode(a.week, b.week));
  const count = (key: 'booked' | 'shipped' | 'short' | 'undecided', title: string): Column<Of<WeekBrief>> => ({
    key,
    title,
    cell: (row) => number(row[key]),
    by: (row) => row[key],
    numeric: true,
  });
  const columns: Column<Of<WeekBrief>>[] = [
    {
      key: 'week',
      title: words.week,
      cell: (row) => shipWeek(row.week),
      by: (row) => row.week,
      heads: true,
      whole: true,
    },
    { key: 'crop', title: crop, cell: (row) => nameOfCrop(row.crop) || noName, by: (row) => nameOfCrop(row.crop) },
    { ...nurseryColumn<Of<WeekBrief>>(), title: nursery },
    count('booked', words.booked),
    count('shipped', words.shipped),
    {
      ...count('short', over ? words.short : words.unsure),
      cell: (row) => (row.short > 0 ? <b class="attention">{number(row.short)}</b> : number(row.short)),
    },
    ...(over ? [] : [count('undecided', words.undecided)]),
  ];
  return (
    <Table
      said={
        over
          ? { title: words.over, intro: words.overIntro(reach), empty: words.overEmpty(reach) }
          : { title: words.coming, intro: words.comingIntro(reach), empty: words.comingEmpty(reach) }
      }
      columns={columns}
      rows={rows}
      keyOf={(row) => `${row.site} ${row.week} ${row.crop}`}
    />
  );
}

interface TableProps<Row> {
  said: { title: string; intro: string; empty: string };
  columns: readonly Column<Row>[];
  rows: readonly Row[];
  keyOf: (row: Row) => string;
}

function Table<Row>({ said: { title, intro, empty }, ...table }: TableProps<Row>) {
  return (
    <section class="section">
      <h2>{title}</h2>
      {table.rows.length === 0 ? (
        <p>{empty}</p>
      ) : (
        <>
          <p class="quiet">{intro}</p>
          <DataTable caption={title} captionUnseen stacks {...table} />
        </>
      )}
    </section>
  );
}
