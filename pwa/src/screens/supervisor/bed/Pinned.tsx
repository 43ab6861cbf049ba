import type { BedsView, BedView, Estimate } from '../../../../../schema/types';
import { differenceOf } from '../../../../../sync/stats/difference';
import { DataTable } from '../../../parts/DataTable';
import { appWords } from '../../../words';
import { atWhen, dateTime, estimate, number, points } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { bedName } from '../names';
import { Section } from '../Page';

interface PickProps {
  beds: BedsView | undefined;
  view: BedView;
  /** The pinned bed once it is there. */
  pinned: BedView | undefined;
  /** Its id and its walk as the address has them, "" where none is. */
  bed: string;
  walk: string;
  onPin: (bed: string, walk: string) => void;
}

/** Chooses what is laid beside the bed: another bed, or another walk of it or of this one. */
export function PickPinned({ beds, view, pinned, bed, walk, onPin }: PickProps) {
  const words = supervisorWords.value.bed;
  const walks = (pinned?.walks ?? []).filter(({ walk }) => pinned?.bed.id !== view.bed.id || walk !== view.walk);
  // Of the bed itself another walk than the one that is shown: the one before, or the last.
  const at = view.walks.findIndex(({ walk }) => walk === view.walk);
  const earlier = (view.walks[at - 1] ?? view.walks.at(-1))?.walk ?? '';
  return (
    <>
      <select
        aria-label={words.pin}
        class="choose pin"
        value={bed}
        onChange={({ currentTarget: { value } }) => onPin(value, value === view.bed.id ? earlier : '')}
      >
        <option value="">{bed === '' ? words.pin : words.unpin}</option>
        {beds?.houses.map((house) => (
          <optgroup key={house.id} label={supervisorWords.value.pages.houseName(house.name)}>
            {house.beds
              .filter(({ id, last_walk: walk }) => walk !== '' && (id !== view.bed.id || view.walks.length > 1))
              .map(({ id, name }) => (
                <option key={id} value={id}>
                  {id === view.bed.id ? words.pinEarlier(bedName(name)) : bedName(name)}
                </option>
              ))}
          </optgroup>
        ))}
      </select>
      {pinned && walks.length > 0 && (
        <select
          aria-label={words.pinWalk}
          class="choose pin"
          value={walk || pinned.walk}
          onChange={(event) => onPin(bed, event.currentTarget.value)}
        >
          {walks.toReversed().map(({ walk: each, at, person_name: person }) => (
            <option key={each} value={each}>
              {`${dateTime(at)} · ${person}`}
            </option>
          ))}
        </select>
      )}
    </>
  );
}

/** The numbers of two walks beside each other, with what the one has more or less and how sure that is. */
export function SideBySide({ view, pinned }: { view: BedView; pinned: BedView }) {
  const words = supervisorWords.value.bed;
  const common = appWords.value.common;
  const [one, other] = [nameOf(view, pinned), nameOf(pinned, view)];
  // A bed's uniformity is that of its weaker trait. Where this is heads here and buds there, the two are no difference of one thing.
  const isOneTrait = view.bed.score?.limiting_trait === pinned.bed.score?.limiting_trait;
  const rows = [
    { key: 'even', name: common.uniformity, of: (of: BedView) => (isOneTrait ? of.bed.score?.uniformity : undefined) },
    { key: 'head', name: words.headEven, of: (of: BedView) => traitOf(of, 'head') },
    { key: 'buds', name: words.budsEven, of: (of: BedView) => traitOf(of, 'buds') },
    { key: 'rot', name: words.rot, of: (of: BedView) => of.bed.score?.rot },
    { key: 'chlorosis', name: words.chlorosis, of: (of: BedView) => of.bed.score?.chlorosis },
    { key: 'disease', name: words.disease, of: (of: BedView) => of.bed.score?.disease },
  ].flatMap(({ key, name, of }) => {
    const [a, b] = [of(view), of(pinned)];
    return a?.known && b?.known ? [{ key, name, a, b, difference: differenceOf(a, b) }] : [];
  });
  return (
    <Section title={words.sideBySide(one, other)}>
      <DataTable
        caption={words.sideBySide(one, other)}
        captionUnseen
        rows={rows}
        keyOf={(row) => row.key}
        columns={[
          { key: 'name', title: words.of100, heads: true, cell: (row) => row.name },
          { key: 'a', title: one, numeric: true, cell: (row) => estimate(row.a, points) },
          { key: 'b', title: other, numeric: true, cell: (row) => estimate(row.b, points) },
          {
            key: 'difference',
            title: words.less(one, other),
            numeric: true,
            cell: (row) => (keepsOffZero(row.difference) ? <b>{signed(row.difference)}</b> : signed(row.difference)),
          },
        ]}
      />
      <p class="small quiet">{words.sideNote}</p>
    </Section>
  );
}

/** A bed is called by its name; two walks of one bed by their days too. */
function nameOf({ bed, walk, walks }: BedView, beside: BedView): string {
  const at = walks.find((point) => point.walk === walk)?.at;
  const name = bedName(bed.name);
  return bed.id === beside.bed.id && at !== undefined ? `${name}, ${atWhen(at)}` : name;
}

const traitOf = (view: BedView, trait: string) =>
  view.bed.score?.traits.find((each) => each.trait === trait)?.uniformity;

const keepsOffZero = ({ interval: { low, high, known } }: Estimate) => known && (low > 0 || high < 0);

function signed(given: Estimate): string {
  const write = (value: number) => {
    const shown = Math.round(value * 100);
    return `${shown < 0 ? '−' : shown > 0 ? '+' : ''}${number(Math.abs(shown))}`;
  };
  return estimate(given, write);
}
