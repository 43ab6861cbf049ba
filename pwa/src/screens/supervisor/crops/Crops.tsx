import { useState } from 'preact/hooks';
import { defaultJudged } from '../../../../../schema/kinds';
import { judgedFrom } from '../../../../../sync/bed/judged';
import { Button } from '../../../parts/Button';
import { go, Link } from '../../../router';
import { supervisorWords } from '../../../words/supervisor';
import { list } from '../../../words/format';
import { wordsTyped } from '../../../forms/typed';
import { potSize } from '../../../words/entry';
import { nameOfCrop } from '../../../words/names';
import { addressOfCrop, gradesOf, knownCrops, stateOfNotes, type Crop } from './crops';
import { saidValue, startsWith, valueNames } from './cropvalues';
import { held } from '../../../views/views';
import { Page } from '../Page';
import '../../../style/supervisor-crops.css';

/** Every crop of the nursery, with how it is judged. */
export default function Crops() {
  const loaded = held(knownCrops());
  return (
    <Page
      here="crops"
      title={() => supervisorWords.value.crops.title}
      loaded={loaded}
      onTryAgain={() => location.reload()}
      state={stateOfNotes}
    >
      {(all) => <List crops={all} />}
    </Page>
  );
}

function List({ crops }: { crops: readonly Crop[] }) {
  const words = supervisorWords.value.crops;
  return (
    <>
      <p class="intro">{words.intro}</p>
      {crops.length === 0 && (
        <div class="empty">
          <h2>{words.emptyTitle}</h2>
          <p>{words.empty}</p>
          <Link to="/in" class="button plain tap">
            {supervisorWords.value.sheet.open}
          </Link>
        </div>
      )}
      <div class="crops">
        {crops.map((crop) => (
          <OneCrop key={crop.name} crop={crop} />
        ))}
      </div>
      <Another />
    </>
  );
}

function OneCrop({ crop }: { crop: Crop }) {
  const words = supervisorWords.value.crops;
  const { profile } = crop;
  const judged = judgedFrom(profile ?? {}, defaultJudged);
  const sizes = list(crop.sizes.map(potSize));
  const graded = crop.sizes.filter((size) => gradesOf(judged.grades, size).length > 0);
  return (
    <section class="cropcard">
      <header>
        <h2>
          <Link to={addressOfCrop(crop.name)}>{nameOfCrop(crop.name)}</Link>
        </h2>
        <Link to={addressOfCrop(crop.name)} class="button plain tap">
          {words.openShort}
          <span class="unseen">: {nameOfCrop(crop.name)}</span>
        </Link>
      </header>
      <p class="quiet">
        {crop.sizes.length > 0 ? words.summary(crop.lots, sizes) : words.summaryNoSize(crop.lots)}
        {!profile && `. ${words.nothingSet}`}
      </p>
      {crop.differ > 0 && <p class="attention">{words.differ(crop.differ)}</p>}
      <dl class="judged">
        {valueNames.map((name) => (
          <div key={name}>
            <dt>{words.field[name]}</dt>
            <dd>
              <b>{saidValue(name, profile?.[name] ?? startsWith[name])}</b>
              {profile?.[name] === undefined && <span class="small quiet"> {words.common}</span>}
            </dd>
          </div>
        ))}
      </dl>
      {graded.length === 0 ? (
        <p class="quiet">{words.gradesNone}</p>
      ) : (
        <ul>
          {graded.map((size) => (
            <li key={size}>{words.gradesOf(potSize(size), list(gradesOf(judged.grades, size).map((g) => g.name)))}</li>
          ))}
        </ul>
      )}
    </section>
  );
}

/** A crop whose first lot is still to come. */
function Another() {
  const words = supervisorWords.value.crops;
  const [name, setName] = useState('');
  const [tried, setTried] = useState(false);
  const answer = wordsTyped(name, 'profile', 'crop', words.field.crop, true);
  const wrong = answer.problem !== undefined && (tried || name.trim() !== '') ? answer.problem : undefined;
  return (
    <form
      class="filters"
      onSubmit={(event) => {
        event.preventDefault();
        if (answer.value === undefined) setTried(true);
        else go(addressOfCrop(answer.value));
      }}
      noValidate
    >
      <label>
        <span>
          {words.another}. {words.anotherNote}
        </span>
        <input
          type="text"
          value={name}
          autocomplete="off"
          aria-invalid={wrong !== undefined}
          aria-describedby="another-say"
          onInput={(event) => setName(event.currentTarget.value)}
        />
      </label>
      <Button submit>{words.anotherOpen}</Button>
      <p id="another-say" class="attention say" aria-live="polite">
        {wrong}
      </p>
    </form>
  );
}
