/** A lot in short, for who stands before it: what it is, where it stands, what was last noted, and what can be noted. */
import type { Application, Event, Note, Person, Photo, Reading, Rooting, StockLine } from '../../../../schema/types';
import { Fragment } from 'preact';
import { factsOf, useStored, type FactRow } from '../../journal/records/read';
import { lots, people, stock } from '../../journal/records/registers';
import { Button } from '../../parts/Button';
import { go, Link, Title } from '../../router';
import { me } from '../../state';
import { appWords } from '../../words';
import { ago, day, number, percent, shipWeek } from '../../words/format';
import { workWords } from '../../words/rooms';
import { Picture } from './photo/Picture';
import { addressOf, onlyBed, standing, stretchesOf, stretchName } from '../../forms/place';
import { gettingRecords } from '../../words/arriving';
import { nameOfBed, nameOfCrop, nameOfLot } from '../../words/names';
import { withSign } from '../../forms/typed';
import { isLotHere, LotNotHere } from '../../parts/NotHere';
import '../../style/work.css';

/** Enough to see what happened lately; the whole history is at the desk. */
const SHOWN = 8;
const kinds = ['event', 'reading', 'rooting', 'note', 'photo', 'application'] as const;

export default function LotCard({ id = '' }: { id?: string }) {
  const words = workWords.value.spot.lot;
  const lot = lots.value.get(id);
  const lines = useStored(() => lastOf(id), [id]);
  const getting = gettingRecords();
  if (!lot || (lot.tag === undefined && lot.cultivar === undefined)) {
    return (
      <main class="scout work with-foot">
        <Title text={getting ? appWords.value.common.loading : appWords.value.scout.nowhere.title} />
        <p>{getting ?? words.unknown}</p>
        <div class="foot">
          <Button size="walk" onClick={() => go('/')}>
            {appWords.value.scout.nowhere.home}
          </Button>
          <Button size="walk" kind="main" onClick={() => go('/scan')}>
            {workWords.value.work.sheet.scan}
          </Button>
        </div>
      </main>
    );
  }
  const spans = stretchesOf(id);
  const on = spans.flatMap(({ bed }) => (bed === undefined ? [] : [bed]));
  const facts: [string, string | undefined][] = [
    [words.pots, getting ? '…' : stock.value.has(id) ? number(stock.value.get(id)?.pots ?? 0) : undefined],
    [words.potSize, lot.pot_mm === undefined ? undefined : withSign(lot.pot_mm, 'length')],
    [words.struck, lot.struck_on && day(lot.struck_on)],
    [words.potted, lot.potted_on && day(lot.potted_on)],
    [words.ship, lot.ship_week && shipWeek(lot.ship_week)],
  ];
  const place = { lot: id, bed: onlyBed(id) };
  const photo = lines?.find((line) => line.photo !== undefined)?.photo;
  return (
    <main class="scout work with-foot">
      <Title text={nameOfLot(id)} />
      <p class="quiet where">{nameOfCrop(lot.crop ?? '')}</p>
      {getting && <p class="quiet">{getting}</p>}
      <LotNotHere lot={id} on={on} />
      <dl class="shares">
        {facts.map(([name, value]) => (
          <Fragment key={name}>
            <dt>{name}</dt>
            <dd>{value ?? appWords.value.common.unknown}</dd>
          </Fragment>
        ))}
        {lot.parent && (
          <>
            <dt>{words.parent}</dt>
            <dd>
              <Link to={`/lot/${lot.parent}`}>{nameOfLot(lot.parent)}</Link>
            </dd>
          </>
        )}
      </dl>
      <section>
        <h2>{words.where}</h2>
        {spans.length === 0 && !getting && <p class="quiet">{words.nowhere}</p>}
        <div class="choices one">
          {spans.map((span) => {
            const count = standing(id, span.id);
            return (
              <Button key={span.id} size="walk" onClick={() => go(`/bed/${span.bed ?? ''}`)}>
                <span>
                  {stretchName(span)}
                  <span class="half small quiet">
                    {getting
                      ? ''
                      : count === undefined
                        ? workWords.value.work.pick.notCounted
                        : appWords.value.common.pots(count)}
                  </span>
                </span>
              </Button>
            );
          })}
        </div>
      </section>
      <section>
        <h2>{words.last}</h2>
        {lines?.length === 0 && !getting && isLotHere(id) && <p class="quiet">{words.none}</p>}
        <ul class="noted">
          {lines?.slice(0, SHOWN).map((line) => (
            <li key={line.key}>
              {line.said}
              <span class="small quiet"> {[nameOf(line.person), ago(line.at)].filter(Boolean).join(', ')}</span>
            </li>
          ))}
        </ul>
        {photo && <Picture hash={photo.hash} alt={workWords.value.spot.photo.alt(nameOfLot(id), words.photoNoted)} />}
      </section>
      <div class="foot">
        {me.value && me.value.role !== 'scout' && (
          <Button size="walk" onClick={() => go(`/lots/${id}`)}>
            {words.whole}
          </Button>
        )}
        <Button size="walk" onClick={() => go(place.bed ? `/bed/${place.bed}` : '/')}>
          {place.bed ? words.toBed(nameOfBed(place.bed)) : workWords.value.work.sheet.back}
        </Button>
        <Button size="walk" kind="main" onClick={() => go(addressOf('', place))}>
          {words.note}
        </Button>
      </div>
    </main>
  );
}

interface Line {
  key: string;
  at: number;
  person: string;
  said: string;
  photo?: Photo;
}

/** What was last noted about a lot, newest first, without what was struck out. */
async function lastOf(lot: string): Promise<Line[]> {
  const facts = await Promise.all(kinds.map((kind) => factsOf('lot', kind, lot)));
  const ledger = stock.value.get(lot)?.lines ?? [];
  return [...facts.flat().flatMap(lineOf), ...ledger.flatMap(lineOfStock)].sort((a, b) => b.at - a.at);
}

function lineOf(fact: FactRow): Line[] {
  if (fact.voided) return [];
  const line = { key: fact.id, at: fact.by.stamp.at, person: fact.by.person };
  if (fact.kind === 'photo') return [{ ...line, said: workWords.value.spot.lot.photoNoted, photo: fact.body as Photo }];
  return [{ ...line, said: shortFact(fact.kind, fact.body) }];
}

function lineOfStock(line: StockLine, nth: number): Line[] {
  if (line.voided) return [];
  const words = workWords.value.work;
  const reason = words.loss.reasons[line.reason as keyof typeof words.loss.reasons] ?? line.reason;
  const change = line.change ?? 0;
  const said =
    line.counted === undefined
      ? `${change > 0 ? '+' : '−'}${number(Math.abs(change))} · ${reason}`
      : `${reason}: ${number(line.counted)}`;
  return [{ key: `${line.by.entry}-${nth}`, at: line.by.stamp.at, person: line.by.person, said }];
}

function shortFact(kind: string, body: unknown): string {
  const words = workWords.value.work;
  switch (kind) {
    case 'event': {
      const { what, on } = body as Event;
      return `${words.event.whats[what]}, ${day(on)}`;
    }
    case 'reading': {
      const reading = body as Reading;
      const parts = [
        reading.ph_c !== undefined && `pH ${withSign(reading.ph_c, 'ph')}`,
        reading.ec_us_cm !== undefined && withSign(reading.ec_us_cm, 'ec_ms'),
        reading.medium_dc !== undefined && withSign(reading.medium_dc, 'temperature'),
        reading.light_umol !== undefined && withSign(reading.light_umol, 'light'),
        reading.light_fc !== undefined && withSign(reading.light_fc, 'light_fc'),
      ];
      return parts.filter(Boolean).join(' · ') || words.forms.reading;
    }
    case 'rooting': {
      const { struck, rooted } = body as Rooting;
      return `${words.forms.rooting}: ${rooted}/${struck} (${percent(rooted / struck)})`;
    }
    case 'note':
      return (body as Note).words;
    case 'application':
      return `${words.forms.application}: ${(body as Application).active}`;
    default:
      return kind;
  }
}

function nameOf(person: string): string {
  const known: Partial<Person> | undefined = people.value.get(person);
  return known?.name ?? '';
}
