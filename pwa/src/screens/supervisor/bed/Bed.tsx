import { useRef, useState } from 'preact/hooks';
import type { AttentionView, BedsView, BedView, SpanView, TrendPoint } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { useMedia } from '../../../parts/width';
import { addressOf } from '../../../forms/place';
import { go, Link, route } from '../../../router';
import { recordOf } from '../../../journal/records/registers';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { briefingWords } from '../../../words/briefing';
import { ago, dateTime, distance, estimate, number, points, untilWhen } from '../../../words/format';
import { lotLine } from '../../../words/names';
import { describe, isOfBed } from '../beds/attentionWords';
import { OnTheWay } from '../beds/OnTheWay';
import { SendScout } from '../beds/RowForms';
import { asksAttention, hereWith, placeOf, toWalk } from '../beds/place';
import { inWords } from '../Trouble';
import { AlongBed } from './AlongBed';
import { BedEdit } from './BedEdit';
import { BedEven } from './BedEven';
import { BedTrend } from './BedTrend';
import { Beside, Neighbours } from './Beside';
import { FactList } from '../FactList';
import { GradeOut } from '../GradeOut';
import { refresh, useView, type Loaded } from '../../../views/views';
import { LotTable } from './LotTable';
import { bedName } from '../names';
import { useOnePage } from '../onePage';
import { Page, Section } from '../Page';
import { PickPinned, SideBySide } from './Pinned';
import { PotTable } from './PotTable';
import { RootsAndLeaves } from './RootsAndLeaves';
import { Says } from './Says';
import { TraitPlot } from './TraitPlot';

/** From so wide a window on the list of what needs a supervisor stands beside the bed. */
const ROOM_FOR_LIST = '(min-width: 75rem)';

/** One bed in full, from its last walk or from the one that was chosen, beside the list that led here. */
export default function Bed({ id = '' }: { id?: string }) {
  const { query } = route.value;
  const path = pathOf(id, query.get('walk'));
  const loaded = useStaying(useView<BedView>(path), id);
  const beds = useView<BedsView>('beds').view;
  const place = placeOf(query);
  const hasRoom = useMedia(ROOM_FOR_LIST);
  const attention = useView<AttentionView>(hasRoom || asksAttention(place) ? 'attention' : undefined).view;
  const words = supervisorWords.value.pages;
  const list = { beds, attention, place, bed: id };
  return (
    <Page
      here="beds"
      isReport
      loaded={loaded}
      onTryAgain={() => void refresh(path)}
      title={(view) =>
        view ? words.bedInHouse(bedName(view.bed.name), words.houseName(view.house_name)) : words.overview.table.bed
      }
      above={() => <Neighbours {...list} />}
      aside={hasRoom ? () => <Beside {...list} /> : undefined}
    >
      {(view) => <Whole view={view} beds={beds} attention={attention} />}
    </Page>
  );
}

/** Until another walk of the bed is there the last one stays: the field in which it was chosen keeps its place, and the focus. */
function useStaying(loaded: Loaded<BedView>, bed: string): Loaded<BedView> {
  const last = useRef(loaded);
  if (loaded.view || loaded.trouble || last.current.view?.bed.id !== bed) last.current = loaded;
  return loaded.view || loaded.trouble ? loaded : { ...last.current, slow: loaded.slow };
}

const pathOf = (id: string, walk: string | null) => (walk ? `beds/${id}?walk=${walk}` : `beds/${id}`);

interface WholeProps {
  view: BedView;
  beds: BedsView | undefined;
  attention: AttentionView | undefined;
}

function Whole({ view, beds, attention }: WholeProps) {
  const words = supervisorWords.value.bed;
  const { query } = route.value;
  const pin = query.get('pin');
  const besides = useView<BedView>(pin ? pathOf(pin, query.get('pinwalk')) : undefined);
  const { view: pinned, trouble } = useStaying(besides, pin ?? '');
  const { bed } = view;
  const { score } = bed;
  useOnePage();
  return (
    <>
      {trouble && !pinned && <p class="stale">{inWords(trouble)}</p>}
      <Head view={view} beds={beds} attention={attention} pinned={pinned} />
      <UnderWay view={view} pinned={pinned} />
      {bed.closed_until > Date.now() && <p class="warning">{words.closed(untilWhen(bed.closed_until))}</p>}
      {score ? (
        <>
          <div class="columns lead">
            <BedEven score={score} />
            <Says view={view} score={score} />
          </div>
          {pinned?.bed.score && <SideBySide view={view} pinned={pinned} />}
          <AlongBed view={view} pinned={pinned} />
          <BedTrend view={view} pinned={pinned} />
          <GradeOut view={view} score={score} />
          <RootsAndLeaves score={score} />
          <div class="columns">
            <TraitPlot view={view} score={score} trait="head" />
            <TraitPlot view={view} score={score} trait="buds" />
          </div>
          <div class="off-paper">
            <LotTable view={view} score={score} />
            <PotTable view={view} />
          </div>
        </>
      ) : (
        <>
          <div class="empty">
            <h2>{words.neverTitle}</h2>
            <p>{words.never}</p>
          </div>
          <Standing spans={bed.spans} />
        </>
      )}
      <Section title={words.factsTitle} class="off-paper">
        <FactList facts={view.facts} people={view.people} none={words.factsNone} />
      </Section>
    </>
  );
}

/** What stands on a bed that no walk has seen: of others a table says how each lot is. */
function Standing({ spans }: { spans: readonly SpanView[] }) {
  if (spans.length === 0) return null;
  const { common } = appWords.value;
  return (
    <Section title={supervisorWords.value.supply.lotsTitle}>
      <ul>
        {spans.map((span) => (
          <li key={span.span}>
            <Link to={`/lots/${span.lot}`}>{lotLine(span)}</Link>{' '}
            <span class="small quiet">
              {common.strip.rows(span.from_row, span.to_row)} · {common.pots(span.pots)}
            </span>
          </li>
        ))}
      </ul>
    </Section>
  );
}

/** The walk that goes on, beside the one that the page is of. */
function UnderWay({ view, pinned }: Pick<HeadProps, 'view' | 'pinned'>) {
  const { bed, walk } = view;
  const inProgress = bed.under_way;
  if (!inProgress) return null;
  const said = briefingWords.value.briefing.walking(
    inProgress.seen,
    inProgress.planned,
    inProgress.person_name,
    ago(inProgress.at),
  );
  return (
    <p class="underway">
      {inProgress.walk === walk ? said : <Link to={toWalk(view, pinned, inProgress.walk)}>{said}</Link>}
    </p>
  );
}

interface HeadProps extends WholeProps {
  /** What is laid beside it: another bed, or another walk. */
  pinned: BedView | undefined;
}

function Head({ view, beds, attention, pinned }: HeadProps) {
  const words = supervisorWords.value.bed;
  const [edits, setEdits] = useState(false);
  const [sends, setSends] = useState(false);
  const { bed } = view;
  const walked = view.walks.find((point) => point.walk === view.walk);
  const standing = bed.spans.reduce((sum, span) => sum + span.pots, 0);
  return (
    <div class="pagehead report">
      <p class="gist">
        {bed.score && (
          <>
            {seenOn(bed.score.seen, number(standing), walked)}
            {' · '}
          </>
        )}
        {appWords.value.common.lots(bed.spans.length)}
        {' · '}
        {words.size(distance(bed.length_mm), distance(bed.width_mm, 1), bed.rows, bed.across)}
      </p>
      <div class="actions">
        <Link to={`/bed/${bed.id}`} class="button main tap afield">
          {words.startHere}
        </Link>
        {view.walks.length > 0 && (
          <select
            aria-label={words.walk}
            class="choose"
            value={route.value.query.get('walk') ?? view.walk}
            onChange={({ currentTarget: { value } }) => go(toWalk(view, pinned, value), { instead: true })}
          >
            {view.walks.toReversed().map((point) => (
              <option key={point.walk} value={point.walk}>
                {words.walkOption(
                  dateTime(point.at),
                  point.person_name,
                  [point.whole ? estimate(point.uniformity, points) : '', point.unfinished ? words.notEnded : '']
                    .filter(Boolean)
                    .join(', '),
                )}
              </option>
            ))}
          </select>
        )}
        {bed.score && (
          <PickPinned
            beds={beds}
            view={view}
            pinned={pinned}
            bed={route.value.query.get('pin') ?? ''}
            walk={route.value.query.get('pinwalk') ?? ''}
            onPin={(pin, pinwalk) => go(hereWith({ pin, pinwalk }), { instead: true })}
          />
        )}
        <Button onClick={() => setSends(true)}>{supervisorWords.value.morning.send}</Button>
        {/* What has not arrived on this device cannot be written over with open eyes. */}
        <Button disabled={!recordOf('bed', bed.id)} onClick={() => setEdits(true)}>
          {words.edit.open}
        </Button>
        <Link to={addressOf('', { bed: bed.id })} class="button plain tap">
          {words.note}
        </Link>
      </div>
      <OnTheWay bed={bed.id} />
      {sends && <SendScout bed={bed.id} head={foundOn(view, beds, attention)} onClose={() => setSends(false)} />}
      {edits && <BedEdit id={bed.id} onDone={() => setEdits(false)} />}
    </div>
  );
}

/** The first that the list has of the bed, or its name alone. */
function foundOn({ bed }: BedView, beds: BedsView | undefined, attention: AttentionView | undefined): string {
  const item = attention?.items.find((one) => isOfBed(one) && one.beds[0]?.bed === bed.id);
  const brief = beds?.houses.flatMap((house) => house.beds).find(({ id }) => id === bed.id);
  return item ? describe(item, brief).head : bedName(bed.name);
}

/** How many pots were checked of those on record, when and by whom; of a walk that was left early, how many it asked for. */
function seenOn(seen: number, standing: string, walked: TrendPoint | undefined): string {
  const words = supervisorWords.value.bed;
  if (!walked) return words.seenOf(seen, standing);
  const { at, person_name: who, unfinished } = walked;
  if (unfinished) return words.leftBy(unfinished.seen, unfinished.about, standing, ago(at), who);
  return `${words.seenOf(seen, standing)} · ${words.walkedBy(ago(at), who)}`;
}
