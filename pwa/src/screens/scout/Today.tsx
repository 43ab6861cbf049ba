/** Which beds want a walk and why, which are closed, and where the notes are. */
import { useEffect, useState } from 'preact/hooks';
import { Button } from '../../parts/Button';
import { useHalfway } from './halfway';
import { quiet } from '../../journal/pause';
import { beds, type WalkRow } from '../../journal/things';
import { arrived, isArriving } from './arriving';
import { go, Link, Title } from '../../router';
import { access, me } from '../../state';
import { t } from '../../words';
import { ago, atWhen, dateOf, percent, weekday } from '../../words/format';
import { Bar } from './Bar';
import { bedLines, type BedLine } from './due';
import { InstallHint } from './Install';
import { closedNow } from './entry';
import { nameOfBed } from './names';
import { isPast } from './open';
import { Access, QueueLine } from './QueueLine';
import { Rounds } from './Rounds';
import { Tile } from './Tile';

export function Today() {
  const words = t.value.scout;
  const now = Date.now();
  const all = bedLines(now);
  const closed = all.filter((line) => line.closedUntil > 0);
  const open = all.filter((line) => line.closedUntil === 0);
  const due = open.filter((line) => line.due !== '').sort((a, b) => b.urgency - a.urgency);
  const rest = open.filter((line) => line.due === '');
  const half = useHalfway(me.value?.person);
  const whole = useWhole();
  return (
    <main class="scout today with-bar">
      <header>
        <Title text={words.today} />
        <p class="small quiet">{words.greeting(weekday(now), me.value?.person_name ?? '')}</p>
        {access.value === '' && <QueueLine />}
        <Arriving />
      </header>
      <Access />
      <div class="menu">
        <Button size="walk" onClick={() => go('/scan')}>
          {words.scan}
        </Button>
        <Button size="walk" onClick={() => go('/work')}>
          {words.spot}
        </Button>
      </div>
      {half.map((each) => (
        <Halfway key={each.walk.id} {...each} />
      ))}
      <Rounds />
      {beds.value.size === 0 ? (
        <p class="empty">{isArriving() ? words.noBeds : words.noBedsAtAll}</p>
      ) : (
        <section>
          <h2>{words.due(due.length)}</h2>
          {due.length === 0 ? (
            <p class="quiet">{words.nothingDue}</p>
          ) : (
            <Lines lines={whole ? due : due.slice(0, FIRST)} />
          )}
        </section>
      )}
      {/* Below the due beds: it comes when the browser says so, and must not push a bed from under the thumb. */}
      {whole && <InstallHint />}
      {whole && closed.length > 0 && (
        <section>
          <h2>{words.closed}</h2>
          <Lines lines={closed} />
        </section>
      )}
      {whole && rest.length > 0 && (
        <section>
          <h2>{words.allBeds}</h2>
          <Lines lines={rest} />
        </section>
      )}
      <Bar />
    </main>
  );
}

/** A walk that was begun and not ended: to be gone on with, or from two weeks on only to be ended. */
function Halfway({ walk, seen }: { walk: WalkRow; seen: number }) {
  const words = t.value.scout;
  const until = closedNow(walk.bed);
  const bed = nameOfBed(walk.bed);
  if (isPast(walk)) {
    return (
      <section class="halfway">
        <p>{(walk.open?.round ? words.roundLeftOpen : words.leftOpen)(bed, dateOf(walk.at), seen)}</p>
        <Button size="walk" onClick={() => go(`/walk/${walk.id}/end`)}>
          {words.toEnd}
        </Button>
      </section>
    );
  }
  return (
    <section class="halfway">
      <p>{(walk.open?.round ? words.roundHalfway : words.halfway)(bed, seen)}</p>
      {until > 0 ? (
        <p class="attention">{words.opens(atWhen(until))}</p>
      ) : (
        <Button kind="main" size="walk" onClick={() => go(`/walk/${walk.id}`)}>
          {words.goOn}
        </Button>
      )}
    </section>
  );
}

/** As many beds as a tall screen shows. */
const FIRST = 10;

/** False while the first beds are drawn: those below the screen's edge follow when they hold nothing up. */
function useWhole(): boolean {
  const [whole, turn] = useState(false);
  useEffect(() => void quiet().then(() => turn(true)), []);
  return whole;
}

/** The first reading of a season takes a while; the beds are there long before it ends. */
function Arriving() {
  const share = arrived();
  if (share === undefined) return null;
  return (
    <p class="small arriving">
      {t.value.scout.arriving(percent(share))}
      <progress value={share} max={1} aria-label={t.value.common.loading} />
    </p>
  );
}

function Lines({ lines }: { lines: readonly BedLine[] }) {
  return (
    <ul class="lines">
      {lines.map((line) => (
        <li key={line.bed} class={line.closedUntil > 0 ? 'shut' : ''}>
          <Link to={`/bed/${line.bed}`}>
            <Tile brief={line.brief} />
            <span>
              <b>{nameOfBed(line.bed)}</b>
              <span class={`small ${line.due === 'chlorosis' || line.due === 'roots' ? 'attention' : 'quiet'}`}>
                {why(line)}
              </span>
            </span>
          </Link>
        </li>
      ))}
    </ul>
  );
}

function why(line: BedLine): string {
  const { scout: words, common } = t.value;
  if (line.closedUntil > 0) return words.opens(atWhen(line.closedUntil));
  const { going } = line;
  return [reason(line), going && (going.name ? common.going(going.name, going.pots) : common.goingSelf(going.pots))]
    .filter(Boolean)
    .join(' · ');
}

function reason({ due, days, last }: BedLine): string {
  const words = t.value.scout.why;
  if (due === 'never') return words.never;
  if (due === 'days') return words.days(days);
  if (due === 'chlorosis') return words.chlorosis(ago(last));
  if (due === 'roots') return words.roots(ago(last));
  return words.recent(ago(last));
}
