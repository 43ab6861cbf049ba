/** A photo of a bed, a lot or a pot, beside the one of an earlier day. It is saved as soon as it is taken. */
import { useEffect, useState } from 'preact/hooks';
import type { Photo, Place as PotPlace } from '../../../../../schema/types';
import { dropPhotos } from '../../../journal/outbox/photos';
import { outbox } from '../../../journal/outbox/outbox';
import { factsOf, useStored, type FactRow } from '../../../journal/records/read';
import { isLow, refreshEstimate, room } from '../../../journal/store/storage';
import { Button } from '../../../parts/Button';
import { notSaved, say } from '../../../parts/Toast';
import { back, go, route, Title } from '../../../router';
import { headWords } from '../../../words/es/head';
import { dateTime, daysSince, length } from '../../../words/format';
import { workWords } from '../../../words/rooms';
import { PlaceLine } from '../Frame';
import { addressOf, onlyBed, type Location } from '../../../forms/place';
import { nameOfBed, nameOfLot } from '../../../words/names';
import { describePlace } from '../../../words/place';
import { voidSaved } from '../../../forms/saving';
import { Picture } from './Picture';
import { FileButton } from './FileButton';
import { takePhoto } from './take';

interface Props {
  place: Location;
  /** The pot that it is of, "" for a bed or a lot, and where it stands: row 0 where that is not known. */
  pot: string;
  at: PotPlace;
}

export function TakePhoto({ place, pot, at }: Props) {
  const words = workWords.value.spot.photo;
  const [busy, setBusy] = useState(false);
  const [large, setLarge] = useState(false);
  const [trouble, setTrouble] = useState('');
  const where = { lot: place.lot, bed: place.bed || (place.lot ? onlyBed(place.lot) : '') };
  const photos = useStored(() => photosOf(where), [where.lot, where.bed]) ?? [];
  useEffect(() => void refreshEstimate(), []);
  const today = photos.find((fact) => daysSince(fact.by.stamp.at) === 0);
  const earlier = photos.find((fact) => daysSince(fact.by.stamp.at) > 0);
  const take = async (file: File | undefined) => {
    if (!file) return;
    setBusy(true);
    setTrouble('');
    const about = {
      ...(where.lot ? { lot: where.lot } : {}),
      ...(where.bed ? { bed: where.bed } : {}),
      ...(pot ? { pot } : {}),
    };
    const taken = await takePhoto(file, about);
    setBusy(false);
    if (!taken.ok) {
      setTrouble(taken.why === 'broken' ? notSaved(undefined) : words[taken.why]);
      return;
    }
    const undo = async () => {
      await voidSaved([taken.saved], words.removed);
      if (taken.fresh) await dropPhotos([taken.photo.hash]);
    };
    say(words.saved, () => void undo());
  };
  // Read for its sake: the room on the phone may have changed since the screen was drawn.
  const isFull = room.value.quotaBytes > 0 && isLow();
  return (
    <main class="scout work with-foot">
      <Title text={workWords.value.work.forms.photo} />
      <PlaceLine place={place} />
      {at.row > 0 && <p>{describePlace(where.bed ?? '', at)}</p>}
      <p class="small quiet">{words.explain}</p>
      <div class={`side-by-side ${large ? 'large' : ''}`}>
        {today && <Shown fact={today} caption={words.now} where={where} />}
        {earlier ? (
          <Shown fact={earlier} caption={words.before(dateTime(earlier.by.stamp.at))} where={where} />
        ) : (
          <p class="quiet small">{words.noneBefore}</p>
        )}
      </div>
      {(today ?? earlier) && (
        <Button size="walk" onClick={() => setLarge(!large)}>
          {large ? words.smaller : words.larger}
        </Button>
      )}
      <p class="problems" role="alert" hidden={!isFull && trouble === ''}>
        {isFull ? words.low : trouble}
      </p>
      {outbox.value.photos > 0 && <p class="small quiet">{words.pending(outbox.value.photos)}</p>}
      <p class="small" role="status">
        {busy ? words.working : ''}
      </p>
      <FileButton label={words.choose} disabled={busy || isFull} onFile={take} />
      {pot !== '' && (
        <Button size="walk" onClick={() => go(`/work/head?${route.value.query.toString()}`)}>
          {headWords.value.open}
        </Button>
      )}
      <div class="foot">
        <Button size="walk" onClick={() => back(addressOf('', place))}>
          {workWords.value.work.sheet.back}
        </Button>
        <FileButton label={words.take} disabled={busy || isFull} onFile={take} camera main />
      </div>
    </main>
  );
}

function Shown({ fact, caption, where }: { fact: FactRow; caption: string; where: Location }) {
  const photo = fact.body as Photo;
  const what = [where.bed && nameOfBed(where.bed), where.lot && nameOfLot(where.lot)].filter(Boolean).join(', ');
  return (
    <figure>
      <Picture hash={photo.hash} alt={workWords.value.spot.photo.alt(what, dateTime(fact.by.stamp.at))} />
      <figcaption class="small">
        {caption}
        {photo.head && `, ${headWords.value.fact(length(photo.head.diameter_mm), length(photo.head.within_mm))}`}
      </figcaption>
    </figure>
  );
}

/** Photos of the same lot on the same bed, else of either, newest first: what is compared is to be the same plants. */
async function photosOf({ lot, bed }: Location): Promise<FactRow[]> {
  const [ofLot, ofBed] = await Promise.all([
    lot ? factsOf('lot', 'photo', lot) : [],
    bed ? factsOf('bed', 'photo', bed) : [],
  ]);
  const standing = (facts: readonly FactRow[]) => facts.filter((fact) => !fact.voided);
  const both = standing(ofBed.filter((fact) => (fact.body as Photo).lot === lot));
  if (lot !== '' && both.length > 0) return both;
  return standing(lot !== '' && ofLot.length > 0 ? ofLot : ofBed);
}
