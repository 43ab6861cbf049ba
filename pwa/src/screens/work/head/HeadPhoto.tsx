/** A head's size from a photo, as an estimate: what to do, the drop, the photo with its two taps, and what comes of it. */
import { useState } from 'preact/hooks';
import { estimate, type Estimate } from '../../../../../sync/head/head';
import type { Point } from '../../../../../sync/head/pose';
import { barOf, BAR_LIMITS, keepBar } from '../../../forms/headcard';
import { TextField } from '../../../forms/fields';
import type { Location } from '../../../forms/place';
import { voidSaved } from '../../../forms/saving';
import { amount, plainNumber, type Answer } from '../../../forms/typed';
import { dropPhotos } from '../../../journal/outbox/photos';
import { Button } from '../../../parts/Button';
import { notSaved, say } from '../../../parts/Toast';
import { back, Title } from '../../../router';
import { headWords } from '../../../words/es/head';
import { length, lengthUnit, number } from '../../../words/format';
import { workWords } from '../../../words/rooms';
import { PlaceLine } from '../Frame';
import { FileButton } from '../photo/FileButton';
import { takePhoto } from '../photo/take';
import { Edges } from './Edges';
import { readPhoto, sideOf, type Measured, type NotMeasured } from './readPhoto';
import '../../../style/head.css';

interface Props {
  place: Location;
  pot: string;
  /** Where to go when it is saved or left. */
  then: string;
}

interface Taps {
  edges: readonly Point[];
  /** Pixels of the photo to one of the screen. */
  scale: number;
}

export default function HeadPhoto({ place, pot, then }: Props) {
  const words = headWords.value;
  const [drop, setDrop] = useState('');
  const [bar, setBar] = useState('');
  const [state, setState] = useState<Measured | NotMeasured | 'reading' | undefined>(undefined);
  const [taps, setTaps] = useState<Taps>({ edges: [], scale: 1 });
  const [trouble, setTrouble] = useState('');
  const [busy, setBusy] = useState(false);
  const photo = typeof state === 'object' ? state : undefined;
  const dropMM = amount(drop, { kind: 'photo', field: 'head.drop_mm', name: words.drop, measure: 'length' });
  const typedBar = barAnswer(bar);
  const take = async (file: File | undefined) => {
    if (!file) return;
    setState('reading');
    setTaps({ edges: [], scale: 1 });
    setTrouble('');
    const read = await readPhoto(file);
    setState(read);
    if (typeof read === 'object') setBar(writtenBar(barOf(read.card)));
  };
  const typeBar = (text: string) => {
    setBar(text);
    const { value, problem } = barAnswer(text);
    if (photo && problem === undefined) keepBar(photo.card, value);
  };
  const side = photo && typedBar.value !== undefined ? sideOf(photo.card, typedBar.value) : undefined;
  const size =
    photo && side !== undefined && dropMM.value !== undefined ? sizeOf(photo, side, taps, dropMM.value) : undefined;
  const found = typeof size === 'object' ? size : undefined;
  const save = async () => {
    if (!photo || !found || side === undefined || dropMM.value === undefined) return;
    setBusy(true);
    const head = {
      diameter_mm: found.mm,
      within_mm: found.within,
      drop_mm: dropMM.value,
      code_mm: Math.round(side),
    };
    const taken = await takePhoto(photo.file, {
      ...(place.lot ? { lot: place.lot } : {}),
      ...(place.bed ? { bed: place.bed } : {}),
      pot,
      head,
    });
    setBusy(false);
    if (!taken.ok) {
      setTrouble(taken.why === 'broken' ? notSaved(undefined) : workWords.value.spot.photo[taken.why]);
      return;
    }
    const undo = async () => {
      await voidSaved([taken.saved], workWords.value.spot.photo.removed);
      if (taken.fresh) await dropPhotos([taken.photo.hash]);
    };
    back(then);
    say(words.saved(length(found.mm), length(found.within)), () => void undo());
  };
  const refused =
    typeof size === 'string' ? size : typeof state === 'string' && state !== 'reading' ? state : undefined;
  return (
    <main class="scout work with-foot">
      <Title text={words.title} />
      <PlaceLine place={place} />
      {!photo && (
        <ol class="head-steps">
          {words.steps.map((step) => (
            <li key={step}>{step}</li>
          ))}
        </ol>
      )}
      <TextField
        label={words.drop}
        note={words.dropNote}
        typed={drop}
        answer={dropMM}
        tried={false}
        mode="decimal"
        sign={lengthUnit()}
        onType={setDrop}
      />
      {photo && (
        <>
          <p role="status">{[words.tapFirst, words.tapOther, words.fine][taps.edges.length]}</p>
          <Edges
            file={photo.file}
            wide={photo.wide}
            high={photo.high}
            edges={taps.edges}
            onEdges={(edges, scale) => setTaps({ edges, scale })}
          />
          <TextField
            label={words.bar(photo.card.print)}
            note={words.barNote}
            typed={bar}
            answer={typedBar}
            tried={false}
            mode="decimal"
            sign="mm"
            onType={typeBar}
          />
        </>
      )}
      <div class="found" aria-live="polite">
        {state === 'reading' && <p class="small">{words.reading}</p>}
        {refused && <p class="problems">{words.refused[refused]}</p>}
        {photo && taps.edges.length === 2 && drop === '' && <p class="problems">{words.needDrop}</p>}
        {photo && taps.edges.length === 2 && side === undefined && (
          <p class="problems">{words.needBar(photo.card.print)}</p>
        )}
        {found && (
          <>
            <p class="large">
              <b>{words.about(length(found.mm), length(found.within))}</b>
            </p>
            <p class="small quiet">{words.isEstimate}</p>
          </>
        )}
        {trouble !== '' && <p class="problems">{trouble}</p>}
      </div>
      {!photo && <FileButton label={workWords.value.spot.photo.choose} disabled={state === 'reading'} onFile={take} />}
      <div class="foot">
        <Button size="walk" onClick={() => back(then)}>
          {workWords.value.work.sheet.back}
        </Button>
        <FileButton
          label={workWords.value.spot.photo.take}
          disabled={state === 'reading' || busy}
          onFile={take}
          camera
          main={!photo}
        />
        {photo && (
          <Button size="walk" kind="main" disabled={!found || busy} onClick={() => void save()}>
            {workWords.value.work.form.save}
          </Button>
        )}
      </div>
    </main>
  );
}

/** In whole millimetres, what may be out rounded up; undefined while there are not two edges. */
function sizeOf(photo: Measured, side: number, { edges, scale }: Taps, dropMM: number) {
  const [one, other] = edges;
  if (!one || !other) return undefined;
  const found = estimate({ ...photo, side, dropMM, edges: [one, other], scale });
  return typeof found === 'string'
    ? found
    : ({ mm: Math.round(found.mm), within: Math.ceil(found.within) } satisfies Estimate);
}

function barAnswer(text: string): Answer<number> {
  const { min, max } = BAR_LIMITS;
  const typed = plainNumber(text, 'mm');
  const isOut = typed.problem !== undefined || (typed.value !== undefined && (typed.value < min || typed.value > max));
  return isOut ? { problem: headWords.value.barWrong(number(min), number(max)) } : typed;
}

function writtenBar(bar: number | undefined): string {
  return bar === undefined ? '' : number(bar, Number.isInteger(bar) ? 0 : 1);
}
