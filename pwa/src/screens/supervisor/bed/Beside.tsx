import { useMemo } from 'preact/hooks';
import type { AttentionView, BedBrief, BedsView, PlanView, SupplyView } from '../../../../../schema/types';
import { Link } from '../../../router';
import { supervisorWords } from '../../../words/supervisor';
import { NeedsYou } from '../beds/NeedsYou';
import { addressOf, fits, marksOf, stagesOfBeds, toBed, weeksOfBeds, type Place } from '../beds/place';
import { usePutAway } from '../beds/putAway';
import { useView } from '../../../views/views';
import { bedName } from '../names';
import '../../../style/supervisor-morning.css';

interface Props {
  beds: BedsView | undefined;
  attention: AttentionView | undefined;
  place: Place;
  bed: string;
}

/** The list of what needs a supervisor, beside the bed that was opened from it. */
export function Beside({ beds, attention, place, bed }: Props) {
  const { items, put } = usePutAway(attention);
  const byId = useMemo(
    () => new Map(beds?.houses.flatMap((house) => house.beds).map((each) => [each.id, each])),
    [beds],
  );
  if (!attention) return null;
  return (
    <aside class="list">
      <NeedsYou
        view={attention}
        items={items}
        beds={byId}
        all={place.all}
        here={bed}
        toAll={toBed(bed, { ...place, all: !place.all })}
        onPutAway={put}
      />
    </aside>
  );
}

/** The way back to the list, and to the bed before and after this one among those that its filter leaves. */
export function Neighbours({ beds, attention, place, bed }: Props) {
  const supply = useView<SupplyView>(place.week === '' ? undefined : 'supply').view;
  const plan = useView<PlanView>(place.stage === '' ? undefined : 'plan').view;
  const words = supervisorWords.value.bed;
  const around = useMemo(() => {
    const all = beds?.houses.flatMap((house) => house.beds) ?? [];
    const weeks = weeksOfBeds(all, supply);
    const stages = stagesOfBeds(all, plan);
    const { groups } = marksOf(attention?.items ?? [], true);
    const shown = all.filter((one) => fits(one, place, { weeks, stages, groups }));
    const at = shown.findIndex(({ id }) => id === bed);
    if (at < 0 || shown.length < 2) return undefined;
    return { nth: at + 1, count: shown.length, before: shown[at - 1], after: shown[at + 1] };
  }, [beds, attention, supply, plan, addressOf(place), bed]);
  const to = (other: BedBrief | undefined, said: (name: string) => string) =>
    other && (
      <Link to={toBed(other.id, place)} instead>
        {said(bedName(other.name))}
      </Link>
    );
  return (
    <nav class="neighbours" aria-label={words.otherBeds}>
      <Link to={addressOf(place)}>{supervisorWords.value.pages.beds}</Link>
      {around && (
        <>
          {to(around.before, (name) => `‹ ${name}`)}
          <span class="small quiet">{words.nthOf(around.nth, around.count)}</span>
          {to(around.after, (name) => `${name} ›`)}
        </>
      )}
    </nav>
  );
}
