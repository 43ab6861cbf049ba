/** Which beds want a walk and why, which are closed, and where the notes are. */
import { useEffect, useState } from 'preact/hooks';
import { Button } from '../../../parts/Button';
import type { Brief } from '../../../journal/store/shape';
import { whenIdle } from '../../../journal/store/pause';
import { potsOfWalk, useStored } from '../../../journal/records/read';
import { carried } from '../../../journal/records/carried';
import { beds } from '../../../journal/records/registers';
import type { WalkRow } from '../../../journal/records/walks';
import { catchingUp, firstReading } from '../../../journal/inbox/arriving';
import { rampStep } from '../../../parts/ramp';
import { go, Link, Title } from '../../../router';
import { access, me, queue } from '../../../state';
import { appWords } from '../../../words';
import { ago, atWhen, otherClock, percent, points, shortDate, untilWhen, weekday } from '../../../words/format';
import { Bar } from '../Bar';
import { bedLines, type BedLine } from './due';
import { InstallHint } from '../settings/Install';
import { closedNow } from '../closed';
import { nameOfBed, nameOfCrop, nameOfHouse } from '../../../words/names';
import { isPast, openWalks } from '../walk/openWalks';
import { Access, QueueLine } from '../QueueLine';
import { MyTasks } from './MyTasks';
import { Rounds } from './Rounds';
import { useLater } from '../../../parts/later';

export function Today() {
  const words = appWords.value.scout;
  const now = Date.now();
  const all = bedLines(now);
  const closed = all.filter((line) => line.closedUntil > 0);
  const open = all.filter((line) => line.closedUntil === 0);
  const isDue = ({ due }: BedLine) => due !== '' && due !== 'pending' && due !== 'away';
  const due = open.filter(isDue);
  const rest = open.filter((line) => !isDue(line));
  const arriving = firstReading.value !== undefined;
  const inProgress = useInProgress(me.value?.person);
  const whole = useWhole();
  return (
    <main class="scout today with-bar">
      <header>
        <Title text={words.today} />
        <p class="small quiet">{words.greeting(weekday(now), me.value?.person_name ?? '')}</p>
        {otherClock.value && <p class="small attention">{otherClock.value.note(now)}</p>}
        {access.value === '' && <QueueLine />}
        <Arriving />
      </header>
      <Access />
      <KeepOut lines={closed} />
      <div class="menu">
        <Button size="walk" onClick={() => go('/scan')}>
          {words.scan}
        </Button>
        <Button size="walk" onClick={() => go('/work')}>
          {words.spot}
        </Button>
      </div>
      {inProgress.map((each) => (
        <InProgress key={each.walk.id} {...each} />
      ))}
      {!arriving && <Rounds />}
      {whole && !arriving && <MyTasks />}
      {!arriving && (
        <Button size="walk" onClick={() => go('/tasks')}>
          {words.workList}
        </Button>
      )}
      {!arriving && beds.value.size === 0 && <p class="empty">{words.noBedsAtAll}</p>}
      {!arriving && beds.value.size > 0 && (
        <section>
          <h2>{words.due(due.length)}</h2>
          {due.length === 0 ? (
            <p class="quiet">{words.nothingDue}</p>
          ) : (
            <ByHouse lines={whole ? due : due.slice(0, FIRST)} />
          )}
        </section>
      )}
      {/* Below the due beds: it comes when the browser says so, and must not push a bed from under the thumb. */}
      {whole && <InstallHint />}
      {whole && closed.length > 0 && (
        <section>
          <h2>{words.closed}</h2>
          <ByHouse lines={closed} />
        </section>
      )}
      {whole && rest.length > 0 && (
        <section>
          <h2>{arriving ? words.nav.beds : words.otherBeds}</h2>
          <ByHouse lines={rest} />
        </section>
      )}
      {whole && !arriving && carried.value && <OtherHouses />}
      <Bar />
    </main>
  );
}

const loadHouses = () => import('./OtherHouses').then((it) => it.OtherHouses);

function OtherHouses() {
  const Houses = useLater(loadHouses);
  return Houses ? <Houses /> : null;
}

/** This person's walks that were begun and not ended, with how many pots they have; undefined for one that is here in part. */
function useInProgress(person: string | undefined): { walk: WalkRow; seen: number | undefined }[] {
  const open = openWalks(person);
  const ids = open.map((walk) => walk.id).join(' ');
  const counts = useStored(
    async () =>
      new Map(await Promise.all(open.map(async (walk) => [walk.id, (await validPots(walk.id))?.length] as const))),
    [ids],
  );
  return open.map((walk) => ({ walk, seen: counts ? counts.get(walk.id) : 0 }));
}

async function validPots(walk: string) {
  return (await potsOfWalk(walk))?.filter((pot) => !pot.voided);
}

/** A walk that was begun and not ended: to be gone on with, or from two weeks on only to be ended. */
function InProgress({ walk, seen }: { walk: WalkRow; seen: number | undefined }) {
  const words = appWords.value.scout;
  const until = closedNow(walk.bed);
  const bed = nameOfBed(walk.bed);
  if (isPast(walk)) {
    return (
      <section class="in-progress">
        <p>
          {seen === undefined
            ? bed
            : (walk.open?.round ? words.roundLeftOpen : words.leftOpen)(bed, shortDate(walk.at), seen)}
        </p>
        <Button size="walk" onClick={() => go(`/walk/${walk.id}/end`)}>
          {words.toEnd}
        </Button>
      </section>
    );
  }
  return (
    <section class="in-progress">
      <p>{seen === undefined ? bed : (walk.open?.round ? words.roundHalfway : words.halfway)(bed, seen)}</p>
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
  useEffect(() => void whenIdle().then(() => turn(true)), []);
  return whole;
}

/** The first reading of a season takes a while; until it ends nobody can say here what is due, or that a bed is open. */
function Arriving() {
  const first = firstReading.value;
  if (first !== undefined) return <FirstReading share={first} />;
  const share = catchingUp.value;
  if (share === undefined) return null;
  return (
    <p class="small arriving">
      {appWords.value.scout.arriving(percent(share))}
      <progress value={share} max={1} aria-label={appWords.value.common.loading} />
    </p>
  );
}

function FirstReading({ share }: { share: number }) {
  const words = appWords.value.scout.firstReading;
  const { state } = queue.value;
  return (
    <div class="arriving">
      <p>
        {words.share(percent(share))}
        <progress value={share} max={1} aria-label={appWords.value.common.loading} />
      </p>
      <p class="small">{state === 'offline' || state === 'slow' ? words.offline : words.stay}</p>
      <p class="small attention">{words.signs}</p>
    </div>
  );
}

/** As many closed beds as are named on top; the others stand below with them. */
const NAMED = 4;

/** Which beds nobody may enter, before anything that leads into one. */
function KeepOut({ lines }: { lines: readonly BedLine[] }) {
  const words = appWords.value.scout;
  if (lines.length === 0) return null;
  return (
    <section class="keep-out" role="note">
      <p>
        <b lang="en">KEEP OUT</b> · <b lang="es">NO ENTRE</b>
      </p>
      {lines.slice(0, NAMED).map((line) => (
        <p key={line.bed}>{words.closedUntil(nameOfBed(line.bed), untilWhen(line.closedUntil))}</p>
      ))}
      {lines.length > NAMED && <p>{words.moreClosed(lines.length - NAMED)}</p>}
    </section>
  );
}

/** The beds of each house in walking order, with what the numbers before them are. */
function ByHouse({ lines }: { lines: readonly BedLine[] }) {
  const houses = [...new Set(lines.map((line) => line.house))];
  return (
    <>
      {houses.map((house) => (
        <div key={house} class="house-lines">
          <p class="small">
            <b>{nameOfHouse(house)}</b> <span class="quiet">{appWords.value.scout.uniformity}</span>
          </p>
          <Lines lines={lines.filter((line) => line.house === house)} />
        </div>
      ))}
    </>
  );
}

function Lines({ lines }: { lines: readonly BedLine[] }) {
  return (
    <ul class="lines">
      {lines.map((line) => (
        <li key={line.bed} class={line.closedUntil > 0 ? 'shut' : ''}>
          <Link to={`/bed/${line.bed}`}>
            <span>
              <b>{nameOfBed(line.bed)}</b> <span class="small quiet">{line.crops.map(nameOfCrop).join(', ')}</span>
              <span class={`small ${line.due === 'chlorosis' || line.due === 'roots' ? 'attention' : 'quiet'}`}>
                {saidWhy(line)}
              </span>
            </span>
            <Tile
              brief={line.brief}
              isAway={line.due === 'away' || line.isPartial}
              isPending={line.due === 'pending'}
            />
          </Link>
        </li>
      ))}
    </ul>
  );
}

/** A bed's uniformity as a number on its shade; hatched where too few pots were seen, a dash where nobody walked;
 * nothing while records still arrive or are away, since the walks that are there may be weeks old. */
export function Tile(props: { brief: Brief | undefined; isAway?: boolean; isPending?: boolean }) {
  const { brief, isAway, isPending } = props;
  if (isAway || firstReading.value !== undefined || (isPending && !brief)) return <span class="tile none">…</span>;
  if (!brief) return <span class="tile none">–</span>;
  if (!brief.few && !brief.known) return <span class="tile few small">{appWords.value.common.noSizes}</span>;
  if (brief.few) return <span class="tile few small">{appWords.value.common.tooFew}</span>;
  return <span class={`tile u${rampStep(brief.uniformity)}`}>{points(brief.uniformity)}</span>;
}

/** Why a bed is in its list, and who walks it just now. */
export function saidWhy(line: BedLine): string {
  const { scout: words, common } = appWords.value;
  if (line.closedUntil > 0) return words.opens(atWhen(line.closedUntil));
  const { inProgress } = line;
  return [
    reason(line),
    inProgress &&
      (inProgress.name ? common.going(inProgress.name, inProgress.pots) : common.goingSelf(inProgress.pots)),
  ]
    .filter(Boolean)
    .join(' · ');
}

function reason({ due, days, last, brief, inProgress }: BedLine): string {
  const words = appWords.value.scout.why;
  const part = brief?.unfinished && words.part(brief.seen, brief.unfinished.about, ago(last));
  // The walk that is not finished is the one that is said to go on, with its pots.
  if (part && inProgress && brief.walk === brief.inProgress?.walk && (due === 'never' || due === '')) return '';
  // Due as if nobody had been there: but a walk was begun, today.
  if (due === 'never') return part || words.never;
  if (due === 'days') return words.days(days);
  if (due === 'chlorosis') return words.chlorosis(ago(last));
  if (due === 'roots') return words.roots(ago(last));
  if (due === 'pending') return '';
  if (due === 'away') return words.away;
  return part || words.recent(ago(last));
}
