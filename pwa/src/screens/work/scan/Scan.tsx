/** Finds a lot by its tag: scanned, or typed. Both lead to the same place. */
import { useState } from 'preact/hooks';
import { Button } from '../../../parts/Button';
import { back, go, route, Title } from '../../../router';
import { workWords } from '../../../words/rooms';
import { addressOf, knownLots } from '../../../forms/place';
import { nameOfLot } from '../../../words/names';
import { lotsOf, tagIn } from '../../../forms/code';
import { Viewfinder } from './Viewfinder';
import '../../../style/work.css';

export default function Scan() {
  const words = workWords.value.spot.scan;
  const [typed, setTyped] = useState('');
  const [code, setCode] = useState('');
  const { query } = route.value;
  // A path of the app's own only: an address from outside must not lead elsewhere after a scan.
  const then = /^\/work(\/|\?|$)/.test(query.get('then') ?? '') ? (query.get('then') ?? '') : '';
  // What the form that asked wants: the tag of a new lot, a lot to choose, or a lot to be about.
  const wanted = query.get('as') ?? 'lot';
  const found = code === '' ? [] : lotsOf(code, knownLots());
  const arrive = (lot: string) =>
    go(withQuery(then, wanted === 'pick' ? 'pick' : 'lot', lot) || `/lot/${lot}`, { instead: true });
  const take = (given: string) => {
    if (given.trim() === '') return;
    if (wanted === 'new' && then) {
      go(withQuery(then, 'tag', tagIn(given)), { instead: true });
      return;
    }
    const lots = lotsOf(given, knownLots());
    setCode(given);
    if (lots.length === 1 && lots[0]) arrive(lots[0].id);
  };
  return (
    <main class="scout work scan with-foot">
      <Title text={words.title} />
      <Viewfinder key={code} onCode={take} />
      {code !== '' && found.length === 0 && (
        // Most often a lot that nobody has entered yet: a question, not a fault.
        <div class="several" role="status">
          <p>{words.unknown(tagIn(code))}</p>
          <Button size="walk" onClick={() => go(addressOf('lot', {}, { tag: tagIn(code) }))}>
            {words.newLot(tagIn(code))}
          </Button>
        </div>
      )}
      {found.length > 1 && (
        <div class="several" role="alert">
          <p>{words.several}</p>
          {found.map((lot) => (
            <Button key={lot.id} size="walk" onClick={() => arrive(lot.id)}>
              {nameOfLot(lot.id)}
            </Button>
          ))}
        </div>
      )}
      <form
        class="typed"
        onSubmit={(event) => {
          event.preventDefault();
          take(typed);
        }}
      >
        <label for="typed-code">{words.typed}</label>
        <div class="line">
          <input
            id="typed-code"
            value={typed}
            autocomplete="off"
            autocapitalize="characters"
            spellcheck={false}
            enterkeyhint="search"
            onInput={(event) => setTyped(event.currentTarget.value)}
          />
          <Button kind="main" size="walk" submit>
            {words.find}
          </Button>
        </div>
      </form>
      <div class="foot">
        <Button size="walk" onClick={() => back(then || '/')}>
          {workWords.value.work.sheet.back}
        </Button>
      </div>
    </main>
  );
}

function withQuery(path: string, name: string, value: string): string {
  if (path === '') return '';
  const [plain = '', query] = path.split('?');
  const params = new URLSearchParams(query);
  params.set(name, value);
  return `${plain}?${params.toString()}`;
}
