/** What can be noted on the spot: the short sheet, and the form that is chosen from it. */
import type { JSX } from 'preact';
import { halfFilled } from '../../journal/outbox/forms';
import { useStored } from '../../journal/records/read';
import { Button } from '../../parts/Button';
import { back, go, route, Title } from '../../router';
import { workWords } from '../../words/rooms';
import { formKey } from '../../forms/form';
import { Applied } from './forms/Applied';
import { Cuttings } from './forms/Cuttings';
import { FreeWords } from './forms/FreeWords';
import { Loss } from './forms/Loss';
import { MeterReading } from './forms/MeterReading';
import { Mist } from './forms/Mist';
import { Mix } from './forms/Mix';
import { Move } from './forms/Move';
import { NewLot } from './forms/NewLot';
import { Recounted } from './forms/Recounted';
import { RootingCount } from './forms/RootingCount';
import { Shade } from './forms/Shade';
import { StepUp } from './forms/StepUp';
import { WorkDone } from './forms/WorkDone';
import { Opening, openFromSheet, PlaceLine } from './Frame';
import { TakePhoto } from './photo/TakePhoto';
import { useLater } from '../../parts/later';
import { addressOf, placeIn, type Location } from '../../forms/place';
import { nameOfLot } from '../../words/names';
import '../../style/work.css';

type Name = keyof typeof workWords.value.work.forms;

const groups: readonly { of: 'saw' | 'crop' | 'pots'; names: readonly Name[] }[] = [
  { of: 'saw', names: ['note', 'photo', 'reading', 'loss'] },
  { of: 'crop', names: ['event', 'application', 'mix', 'mist', 'shade', 'rooting', 'step', 'cuttings'] },
  { of: 'pots', names: ['recount', 'move', 'lot'] },
];

export default function Work({ id = '' }: { id?: string }) {
  const { query } = route.value;
  const place = placeIn(query);
  const forms: Record<Name, () => JSX.Element> = {
    lot: () => <NewLot place={place} code={query.get('tag') ?? ''} />,
    move: () => <Move place={place} />,
    step: () => <StepUp place={place} />,
    cuttings: () => <Cuttings place={place} />,
    event: () => <WorkDone place={place} />,
    application: () => <Applied place={place} />,
    mix: () => <Mix place={place} />,
    mist: () => <Mist place={place} />,
    shade: () => <Shade place={place} />,
    loss: () => <Loss place={place} />,
    recount: () => <Recounted place={place} />,
    rooting: () => <RootingCount place={place} />,
    reading: () => <MeterReading place={place} />,
    note: () => <FreeWords place={place} />,
    photo: () => (
      <TakePhoto
        place={place}
        pot={query.get('pot') ?? ''}
        at={{ row: Number(query.get('row')), across: Number(query.get('across')) }}
      />
    ),
  };
  if (id === 'head')
    return <HeadLater place={place} pot={query.get('pot') ?? ''} then={`/work/photo?${query.toString()}`} />;
  return Object.hasOwn(forms, id) ? forms[id as Name]() : <Sheet place={place} />;
}

const loadHead = () => import('./head/HeadPhoto').then((it) => it.default);

/** Measures in photos, which few do: it comes when it is asked for. */
function HeadLater(props: { place: Location; pot: string; then: string }) {
  const Head = useLater(loadHead);
  return Head ? <Head {...props} /> : <Opening title={workWords.value.work.forms.photo} />;
}

function Sheet({ place }: { place: Location }) {
  const words = workWords.value.work;
  const half = useStored(halfFilled, []) ?? [];
  return (
    <main class="scout work with-foot">
      <Title text={words.sheet.title} />
      <PlaceLine place={place} />
      {place.lot !== '' && (
        <Button size="walk" class="wide" onClick={() => go(`/lot/${place.lot}`)}>
          {words.sheet.openLot(nameOfLot(place.lot))}
        </Button>
      )}
      {groups.map(({ of, names }) => (
        <section key={of}>
          <h2>{words.sheet[of]}</h2>
          <div class="choices">
            {names.map((name) => (
              <Button key={name} size="walk" onClick={() => openFromSheet(addressOf(name, place))}>
                <span>
                  {words.forms[name]}
                  {half.includes(formKey(name, keptAt(name, place))) && (
                    <span class="half small">{words.sheet.halfFilled}</span>
                  )}
                </span>
              </Button>
            ))}
          </div>
        </section>
      ))}
      <p class="small quiet">{words.sheet.intro}</p>
      <div class="foot">
        <Button size="walk" onClick={() => back(place.bed ? `/bed/${place.bed}` : '/')}>
          {words.sheet.back}
        </Button>
        <Button size="walk" onClick={() => go('/scan')}>
          {words.sheet.scan}
        </Button>
      </div>
    </main>
  );
}

/** Under which place a form is kept: a new lot is of no lot yet, and a mix or a mist timer is of no place at all. */
function keptAt(name: Name, place: Location): Location {
  if (name === 'mix' || name === 'mist' || name === 'shade') return { lot: '', bed: '' };
  return name === 'lot' ? { ...place, lot: '' } : place;
}
