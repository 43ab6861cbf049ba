import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { walkWords } from '../../../words/rooms';
import type { BedView, Observation, PotView } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { DataTable, type Column } from '../../../parts/DataTable';
import { me } from '../../../state';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { inLength, lengthUnit, number, stamp } from '../../../words/format';
import { Section } from '../Page';
import { AskRound } from './AskRound';
import { headsFromPhotosOnly } from './headPhotos';

/** Every pot of the walk, with what was corrected and what was struck out: numbers can be opened down to here. */
export function PotTable({ view }: { view: BedView }) {
  const words = supervisorWords.value.bed;
  const spanOf = (lot: string) => view.bed.spans.find((span) => span.lot === lot);
  const fromPhotos = headsFromPhotosOnly(view);
  const walked = view.walks.find((point) => point.walk === view.walk);
  const [asking, setAsking] = useState(false);
  const who = (person: string) => view.people[person] ?? appWords.value.common.unknown;
  const column = (
    key: string,
    title: string,
    pick: (now: Observation) => number | undefined,
    write: (value: number) => string = String,
  ): Column<PotView> => ({
    key,
    title,
    numeric: true,
    by: (pot) => pick(pot.now) ?? -1,
    cell: (pot) => {
      const value = pick(pot.now);
      return value === undefined ? <Unlooked /> : write(value);
    },
  });
  return (
    <Section title={words.potsTitle}>
      <p class="small quiet">{words.potsNote}</p>
      <DataTable
        caption={words.potsTitle}
        captionUnseen
        rows={view.pots.toSorted(alongTheBed)}
        keyOf={(pot) => pot.id}
        rowClass={(pot) => (pot.voided ? 'undone' : '')}
        columns={[
          {
            key: 'row',
            title: appWords.value.common.strip.row,
            heads: true,
            numeric: true,
            by: ({ now }) => now.place?.row ?? 0,
            cell: ({ now }) => now.place?.row ?? words.outOfPlace,
          },
          {
            key: 'across',
            title: appWords.value.common.strip.across,
            numeric: true,
            by: ({ now }) => now.place?.across ?? 0,
            cell: ({ now }) => now.place?.across ?? '',
          },
          {
            key: 'lot',
            title: words.lot,
            whole: true,
            by: ({ now }) => spanOf(now.lot)?.tag ?? '',
            cell: ({ now }) => spanOf(now.lot)?.tag || words.lot,
          },
          {
            key: 'head',
            title: `${words.head}, ${lengthUnit()}`,
            numeric: true,
            whole: true,
            by: ({ now }) => headOf(now) ?? -1,
            cell: ({ id, now }) => heads(now) ?? fromPhotos.get(id) ?? <Unlooked />,
          },
          column(
            'height',
            `${words.height}, ${lengthUnit()}`,
            (now) => now.height_mm,
            (mm) => number(inLength(mm), 1),
          ),
          column('buds', words.buds, (now) => now.buds),
          column('cover', words.coverShort, (now) => now.root_cover),
          column('life', words.lifeShort, (now) => now.root_life),
          {
            key: 'scratch',
            title: words.scratch,
            cell: ({ now }) => (now.scratch ? appWords.value.common.scratch[now.scratch] : <Unlooked />),
          },
          { key: 'leaves', title: words.leaves, cell: ({ now }) => leaves(now) ?? <Unlooked /> },
          { key: 'marks', title: words.marks, cell: (pot) => marks(pot, who) },
          {
            key: 'by',
            title: words.byWhom,
            whole: true,
            by: (pot) => who(pot.by.person),
            cell: (pot) => who(pot.by.person),
          },
          {
            key: 'when',
            title: words.whenNoted,
            whole: true,
            by: (pot) => pot.by.stamp.at,
            cell: (pot) => stamp(pot.by.stamp),
          },
        ]}
      />
      <div class="actions">
        <a class="button plain tap" href={`/api/out/observations.csv?bed=${view.bed.id}`} download="">
          {words.csv}
        </a>
        {walked && me.value && <Button onClick={() => setAsking(true)}>{words.askRound}</Button>}
      </div>
      {walked && <AskRound view={view} first={walked} open={asking} onClose={() => setAsking(false)} />}
    </Section>
  );
}

function alongTheBed(a: PotView, b: PotView): number {
  return (a.now.place?.row ?? 0) - (b.now.place?.row ?? 0) || a.by.stamp.at - b.by.stamp.at;
}

function Unlooked() {
  return (
    <>
      <span aria-hidden="true">–</span>
      <span class="unseen">{appWords.value.common.notLookedAt}</span>
    </>
  );
}

function headOf({ head_a_mm: a, head_b_mm: b }: Observation): number | undefined {
  return a !== undefined && b !== undefined ? (a + b) / 2 : (a ?? b);
}

function heads(now: Observation): string | undefined {
  const { head_a_mm: a, head_b_mm: b } = now;
  const write = (mm: number) => number(inLength(mm), 1);
  if (a !== undefined && b !== undefined) return `${write(a)} × ${write(b)}`;
  const one = a ?? b;
  return one === undefined ? undefined : write(one);
}

function leaves(now: Observation): string | undefined {
  if (!now.chlorosis) return undefined;
  const where = appWords.value.common.chlorosisWhere[now.chlorosis];
  return now.severity !== undefined && now.chlorosis !== 'none'
    ? `${where}, ${walkWords.value.severityNames[now.severity] ?? now.severity}`
    : where;
}

function marks({ now, voided, others, by, id }: PotView, who: (person: string) => string): ComponentChildren {
  const words = supervisorWords.value.bed;
  const all = [
    ...(voided ? [words.voided(whyWords(voided.why), who(voided.by.person))] : []),
    ...(by.entry === id ? [] : [words.corrected]),
    ...(others > 0 ? [words.others(others)] : []),
    ...(now.disease ? [words.diseaseMark] : []),
    ...(now.bypass ? [words.bypass(now.bypass)] : []),
    ...(now.lower_brown ? [words.lowerBrownMark] : []),
    ...(now.soft_flush ? [words.softFlushMark] : []),
    ...(now.words ? [`“${now.words}”`] : []),
  ];
  return all.join('; ');
}

function whyWords(why: string): string {
  const words: { [why: string]: string | undefined } = appWords.value.common.voidWhy;
  return words[why] ?? why;
}
