import { useState } from 'preact/hooks';
import type { TomorrowNarrows, TomorrowView, TomorrowWalk } from '../../../../../schema/types';
import { saveForm } from '../../../forms/saving';
import { intent } from '../../../journal/outbox/write';
import { randomId } from '../../../journal/store/device';
import { Button } from '../../../parts/Button';
import { DataTable } from '../../../parts/DataTable';
import { Link } from '../../../router';
import { appWords } from '../../../words';
import { potSize } from '../../../words/entry';
import { day, number, shipWeek, untilWhen } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { nameOfCrop } from '../../../words/names';
import { Filters, Pick, Tick } from '../Filters';
import { bedName, peopleHere } from '../names';
import { Part } from './Parts';
import { isOpen, spread } from './spread';

const choices = ['1', '2', '3', '4', '6', '8'] as const;

/** Which beds to walk on the next working day, and who. */
export function Tomorrow() {
  return (
    <Part<TomorrowView> here="tomorrow" path="tomorrow" title={() => supervisorWords.value.tomorrow.title}>
      {(view) => <All view={view} />}
    </Part>
  );
}

function All({ view }: { view: TomorrowView }) {
  const words = supervisorWords.value.tomorrow;
  const [hours, pickHours] = useState<(typeof choices)[number]>('2');
  const [chosen, choose] = useState<readonly string[]>([]);
  const scouts = peopleHere().filter(({ role }) => role === 'scout');
  const given = spread(view.walks, view.on, chosen, Number(hours) * 60);
  const nameOf = (person: string) => scouts.find(({ id }) => id === person)?.name ?? appWords.value.common.unknown;
  return (
    <>
      {view.walks.length === 0 ? (
        <div class="empty">
          <h2>{words.emptyTitle}</h2>
          <p>{words.empty}</p>
        </div>
      ) : (
        <>
          <p class="intro">{words.intro(day(view.on))}</p>
          <p class="intro small quiet">
            {view.pot_n === 0
              ? words.noTimes
              : words.times(number(view.pot_s), view.pot_n, number(view.way_s / 60, 1), view.way_n)}
          </p>
          {scouts.length === 0 ? (
            <p>{words.noPeople}</p>
          ) : (
            <Filters count={chosen.length === 0 ? words.nobody : fits(view, given, chosen, nameOf)}>
              <Pick
                label={words.hours}
                value={hours}
                options={choices.map((value) => ({ value, label: words.hour(Number(value)) }))}
                onPick={pickHours}
              />
              {scouts.map(({ id, name }) => (
                <Tick
                  key={id}
                  label={name}
                  checked={chosen.includes(id)}
                  onTick={(takes) => choose(takes ? [...chosen, id] : chosen.filter((one) => one !== id))}
                />
              ))}
            </Filters>
          )}
          {given.size > 0 && (
            <p class="actions">
              <Button onClick={() => void handOut(view, given).then((saved) => saved && choose([]))}>
                {words.handOut(given.size)}
              </Button>
            </p>
          )}
          <Walks view={view} given={given} nameOf={nameOf} />
          <p class="intro small quiet">{words.assumes}</p>
        </>
      )}
    </>
  );
}

type Given = ReadonlyMap<string, string>;

/** How much of each person's time is taken up, and how many beds are left over. */
function fits(view: TomorrowView, given: Given, chosen: readonly string[], nameOf: (person: string) => string): string {
  const words = supervisorWords.value.tomorrow;
  const each = chosen.map((person) => {
    const own = view.walks.filter(({ bed }) => given.get(bed) === person);
    return words.fits(nameOf(person), own.length, Math.round(own.reduce((sum, { minutes }) => sum + minutes, 0)));
  });
  const open = view.walks.filter((walk) => isOpen(walk, view.on));
  return [...each, words.left(open.length - given.size)].join(' · ');
}

/** False after the person has been shown that nothing was saved. */
async function handOut(view: TomorrowView, given: Given): Promise<boolean> {
  const words = supervisorWords.value.tomorrow;
  // Work lists have the work of one day in the order of its ids: so the walks come in the order of this page.
  const ids = Array.from(given, randomId).sort();
  const walks = view.walks.filter(({ bed }) => given.has(bed));
  const notes = walks.map(({ bed, name }, i) => {
    const work = { of: ids[i] as string, saw: [], beds: [bed], words: words.task(bedName(name)) };
    return intent('task', { ...work, from_on: view.on, due_on: view.on, person: given.get(bed) as string });
  });
  const saved = await saveForm(`walks of ${view.on}`, notes, words.said(notes.length));
  return saved !== undefined;
}

function Walks({ view, given, nameOf }: { view: TomorrowView; given: Given; nameOf: (person: string) => string }) {
  const words = supervisorWords.value.tomorrow;
  return (
    <DataTable
      caption={words.title}
      captionUnseen
      stacks
      rows={view.walks}
      keyOf={({ bed }) => bed}
      columns={[
        {
          key: 'bed',
          title: words.table.bed,
          heads: true,
          cell: ({ bed, name }) => <Link to={`/beds/${bed}`}>{bedName(name)}</Link>,
        },
        { key: 'why', title: words.table.why, cell: saidWhy },
        {
          key: 'time',
          title: words.table.time,
          whole: true,
          cell: ({ pots, minutes }) => words.time(pots, Math.round(minutes)),
        },
        { key: 'tells', title: words.table.tells, cell: ({ narrows }) => (narrows ? saidTells(narrows) : null) },
        {
          key: 'who',
          title: words.table.who,
          cell: (walk) => <Who walk={walk} on={view.on} planned={given.get(walk.bed)} nameOf={nameOf} />,
        },
      ]}
    />
  );
}

interface WhoProps {
  walk: TomorrowWalk;
  on: string;
  planned: string | undefined;
  nameOf: (person: string) => string;
}

function Who({ walk, on, planned, nameOf }: WhoProps) {
  const words = supervisorWords.value.tomorrow;
  if (walk.task !== '') return <>{words.handed(walk.person_name || appWords.value.common.unknown)}</>;
  if (!isOpen(walk, on)) return <strong class="attention">{words.closed(untilWhen(walk.closed_until))}</strong>;
  return planned === undefined ? null : <>{words.planned(nameOf(planned))}</>;
}

function saidWhy({ why, days, unfinished, trouble }: TomorrowWalk): string {
  const words = supervisorWords.value.tomorrow.why;
  if (why === 'days' && unfinished) return words.part(unfinished.seen, unfinished.about, days);
  if (why === 'days' && trouble === 'roots') return words.daysRoots(days);
  if (why === 'days' && trouble === 'chlorosis') return words.daysChlorosis(days);
  return why === 'days' ? words.days(days) : words[why as 'never' | 'roots' | 'chlorosis' | 'narrows'];
}

function saidTells({ week, crop, pot_mm: pot, grade, now, after }: TomorrowNarrows): string {
  const words = supervisorWords.value.tomorrow;
  return words.tells(shipWeek(week), nameOfCrop(crop), potSize(pot), grade, number(now), number(after));
}
