/** Tag sheets: which lots, how many of each, on which stock; with the sheets as they will be printed. */
import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { Button } from '../../../parts/Button';
import { back, route, Title } from '../../../router';
import { appWords } from '../../../words';
import { number } from '../../../words/format';
import { gettingRecords } from '../../../words/arriving';
import { workWords } from '../../../words/rooms';
import { isGone, knownLots } from '../../../forms/place';
import { nameOfLot } from '../../../words/names';
import { headWords } from '../../../words/es/head';
import { Choice } from '../../../parts/Choice';
import { Cards, randomPrint } from './Cards';
import { Sheets } from './Sheets';
import { codeSide, faultsOf, measures, nameOf, stocks, type Fault, type Stock } from './stock';
import { keepStock, keptStock } from './kept';
import '../../../style/tags.css';

/** More tags than this at once would make the browser's print window wait for minutes. */
const MOST_TAGS = 2000;

export default function Tags() {
  const words = workWords.value.spot.tags;
  const [stock, setStock] = useState(keptStock);
  const [used, setUsed] = useState(0);
  const [search, setSearch] = useState('');
  const [counts, setCounts] = useState<Record<string, number>>(() => startWith(route.value.query.get('lot')));
  const lots = knownLots().filter((lot) => lot.tag !== undefined);
  const wanted = search.trim().toLowerCase();
  // A tag is for pots; whoever wants one all the same finds its lot by name.
  const shown = lots.filter((lot) =>
    wanted === '' ? counts[lot.id] !== undefined || !isGone(lot.id) : nameOfLot(lot.id).toLowerCase().includes(wanted),
  );
  const tags = lots.flatMap((lot) => Array.from({ length: counts[lot.id] ?? 0 }, () => lot)).slice(0, MOST_TAGS);
  const faults = faultsOf(stock);
  const change = (next: Stock) => {
    setStock(next);
    keepStock(next);
  };
  const setCount = (lot: string, count: number) => setCounts({ ...counts, [lot]: count });
  const [prints, setPrints] = useState<Prints>('tags');
  const [print] = useState(randomPrint);
  if (prints === 'cards') return <PrintCards stock={stock} print={print} onPrints={setPrints} />;
  const isReady = tags.length > 0 && faults.length === 0;
  const pages = Math.ceil((tags.length + used) / (stock.columns * stock.rows)) || 0;
  return (
    <main class="tags-page">
      <Controls prints="tags" onPrints={setPrints}>
        <p>{words.intro}</p>
        <div class="columns">
          <section>
            <h2>{words.lots}</h2>
            <label class="field">
              <span>{words.search}</span>
              <input type="search" value={search} onInput={(event) => setSearch(event.currentTarget.value)} />
            </label>
            <p>
              <Button onClick={() => setCounts(Object.fromEntries(shown.map((lot) => [lot.id, 1])))}>
                {words.one}
              </Button>{' '}
              <Button onClick={() => setCounts({})}>{words.clear}</Button>
            </p>
            {lots.length === 0 ? <p class="quiet">{gettingRecords() ?? words.noLots}</p> : null}
            {lots.length > 0 && shown.length === 0 ? <p class="quiet">{words.none}</p> : null}
            <ul class="tag-lots">
              {shown.map((lot) => (
                <li key={lot.id}>
                  <label for={`count-${lot.id}`}>{nameOfLot(lot.id)}</label>
                  <input
                    id={`count-${lot.id}`}
                    type="number"
                    inputMode="numeric"
                    min={0}
                    max={MOST_TAGS}
                    aria-label={words.count(nameOfLot(lot.id))}
                    value={counts[lot.id] ?? 0}
                    onInput={(event) => setCount(lot.id, wholeFrom(event.currentTarget.value))}
                  />
                </li>
              ))}
            </ul>
          </section>
          <section>
            <h2>{words.paper}</h2>
            <StockPick stock={stock} onStock={change} />
            <label class="field">
              <span>{words.sizes.skip}</span>
              <input
                type="number"
                min={0}
                max={stock.columns * stock.rows - 1}
                value={used}
                onInput={(event) => setUsed(wholeFrom(event.currentTarget.value))}
              />
            </label>
            <div role="alert">
              {faults.map((fault) => (
                <p key={faultWords(fault)} class="attention">
                  {faultWords(fault)}
                </p>
              ))}
            </div>
            <p class="small quiet">{words.code(number(codeSide(stock), 1))}</p>
          </section>
        </div>
        <p role="status">
          <b>{isReady ? words.preview(pages, tags.length) : words.nothing}</b>
        </p>
        <p>
          <Button kind="main" size="walk" disabled={!isReady} onClick={() => globalThis.print()}>
            {words.print}
          </Button>
        </p>
        <p class="small quiet">{words.scale}</p>
      </Controls>
      {isReady && <Sheets tags={tags} stock={stock} used={used} />}
    </main>
  );
}

type Prints = 'tags' | 'cards';

interface ControlsProps {
  prints: Prints;
  onPrints: (prints: Prints) => void;
  children: ComponentChildren;
}

/** What is left off the paper: the way back, what is printed, and how. */
function Controls({ prints, onPrints, children }: ControlsProps) {
  const words = headWords.value.card;
  return (
    <div class="tags-controls">
      <p>
        <Button kind="quiet" onClick={() => back('/')}>
          {appWords.value.common.back}
        </Button>
      </p>
      <Title text={workWords.value.spot.tags.title} />
      <Choice
        legend={words.choose}
        options={(['tags', 'cards'] as const).map((value) => ({ value, label: words[value] }))}
        value={prints}
        onChoose={onPrints}
        size="tap"
      />
      {children}
    </div>
  );
}

function PrintCards({ stock, print, onPrints }: { stock: Stock; print: string; onPrints: (prints: Prints) => void }) {
  const words = headWords.value.card;
  const { print: printIt, scale } = workWords.value.spot.tags;
  return (
    <main class="tags-page">
      <Controls prints="cards" onPrints={onPrints}>
        <p>{words.intro}</p>
        <p>{words.measure}</p>
        <p>
          <Button kind="main" size="walk" onClick={() => globalThis.print()}>
            {printIt}
          </Button>
        </p>
        <p class="small quiet">{scale}</p>
      </Controls>
      <Cards stock={stock} print={print} />
    </main>
  );
}

function StockPick({ stock, onStock }: { stock: Stock; onStock: (stock: Stock) => void }) {
  const words = workWords.value.spot.tags;
  const write = (value: number) => number(value, Number.isInteger(value) ? 0 : 1);
  const chosen = stocks.findIndex((each) => measures.every((field) => each[field] === stock[field]));
  return (
    <>
      <label class="field">
        <span class="unseen">{words.paper}</span>
        <select
          value={chosen}
          onChange={(event) => {
            const next = stocks[Number(event.currentTarget.value)];
            if (next) onStock(next);
          }}
        >
          {chosen < 0 && <option value={-1}>{words.own}</option>}
          {stocks.map((each, index) => (
            <option key={index} value={index}>
              {nameOf(each, write)}
            </option>
          ))}
        </select>
      </label>
      <div class="measures">
        {measures.map((field) => (
          <label key={field} class="field">
            <span>{words.sizes[field]}</span>
            <input
              type="number"
              step={field === 'columns' || field === 'rows' ? 1 : 0.05}
              value={stock[field]}
              onInput={(event) => onStock({ ...stock, [field]: event.currentTarget.valueAsNumber })}
            />
          </label>
        ))}
      </div>
    </>
  );
}

function faultWords(fault: Fault): string {
  const words = workWords.value.spot.tags;
  switch (fault.code) {
    case 'number':
      return words.faults.number(words.sizes[fault.field], fault.low, fault.high);
    case 'small':
      return words.faults.small(number(fault.side, 1));
    default:
      return words.faults[fault.code](number(fault.over, 1));
  }
}

function startWith(lot: string | null): Record<string, number> {
  return lot ? { [lot]: 1 } : {};
}

function wholeFrom(text: string): number {
  return Math.min(MOST_TAGS, Math.max(0, Math.floor(Number(text)) || 0));
}
