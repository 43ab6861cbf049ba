import { useRef, useState } from 'preact/hooks';
import type { LotsPage } from '../../../../../schema/types';
import { cropKey } from '../../../../../sync/bed/crop';
import { Button } from '../../../parts/Button';
import { addressOf } from '../../../forms/place';
import { Link } from '../../../router';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { refresh, useView, type Loaded } from '../../../views/views';
import { CropPick, Filters, NoneMatch, Tick } from '../Filters';
import { Page } from '../Page';
import { LotsTable } from './LotsTable';
import { PrintLots } from './PrintLots';
import { atFirst, hidesGone, pathOf, useTyped, type LotsAsk } from './lotsAsk';

const PATH = pathOf({ ...atFirst, gone: true });

/** Every lot, to find one by its tag. */
export default function Lots() {
  const loaded = useView<LotsPage>(PATH);
  // Where one page holds all lots they are searched here, out of range too.
  if (loaded.view && loaded.view.next !== '') return <Many />;
  return (
    <Page here="lots" title={title} loaded={loaded} onTryAgain={() => void refresh(PATH)}>
      {(page) => (page.all === 0 ? <None /> : <Few page={page} />)}
    </Page>
  );
}

function title(): string {
  return supervisorWords.value.lot.listTitle;
}

function None() {
  const words = supervisorWords.value.lot;
  return (
    <div class="empty">
      <h2>{words.listEmptyTitle}</h2>
      <p>{words.listEmpty}</p>
      <p class="actions">
        <Link to={addressOf('lot', {})} class="button plain tap">
          {words.add}
        </Link>
      </p>
    </div>
  );
}

function Few({ page }: { page: LotsPage }) {
  const words = supervisorWords.value.lot;
  const [ask, setAsk] = useState(atFirst);
  const wanted = ask.search.trim().toLowerCase();
  const shown = page.lots.filter(
    (lot) =>
      (ask.crop === '' || cropKey(lot.crop) === ask.crop) &&
      (!ask.disagree || lot.disagree > 0) &&
      (!hidesGone(ask) || !lot.gone) &&
      `${lot.tag} ${lot.cultivar}`.toLowerCase().includes(wanted),
  );
  return (
    <>
      <Choices
        page={page}
        ask={ask}
        search={ask.search}
        onSearch={(search) => setAsk({ ...ask, search })}
        onAsk={setAsk}
        count={words.listCount(shown.length, page.all)}
      />
      {shown.length === 0 ? <Nothing onClear={() => setAsk(atFirst)} /> : <LotsTable lots={shown} />}
    </>
  );
}

/** More lots than one page holds: the server searches, filters and sorts all of them, and one page of that is drawn. */
function Many() {
  const [ask, setAsk] = useState(atFirst);
  const [turned, turn] = useState<readonly string[]>([]);
  const top = useRef<HTMLParagraphElement>(null);
  const path = pathOf(ask, turned.at(-1));
  const { loaded, isBusy } = useKept(useView<LotsPage>(path));
  const onAsk = (next: LotsAsk) => {
    setAsk(next);
    turn([]);
  };
  const [search, type] = useTyped(ask.search, (typed) => onAsk({ ...ask, search: typed }));
  const to = (pages: readonly string[]) => {
    turn(pages);
    top.current?.scrollIntoView();
    top.current?.focus({ preventScroll: true });
  };
  const clear = () => {
    type('');
    onAsk({ ...atFirst, sort: ask.sort });
  };
  const words = supervisorWords.value.lot;
  return (
    <Page here="lots" title={title} loaded={loaded} onTryAgain={() => void refresh(path)}>
      {(page) => (
        <>
          <Choices
            page={page}
            ask={ask}
            search={search}
            onSearch={type}
            onAsk={onAsk}
            count={isBusy ? supervisorWords.value.pages.data.loading : words.listCount(page.count, page.all)}
          />
          {page.count === 0 ? (
            <Nothing onClear={clear} />
          ) : (
            <>
              <p class="small quiet" ref={top} tabIndex={-1}>
                {words.page(turned.length + 1, pagesOf(page, turned.length))}
              </p>
              <LotsTable lots={page.lots} order={{ sort: ask.sort, onSort: (sort) => onAsk({ ...ask, sort }) }} />
              <div class="actions">
                {turned.length > 0 && <Button onClick={() => to(turned.slice(0, -1))}>{words.pageBefore}</Button>}
                {page.next !== '' && <Button onClick={() => to([...turned, page.next])}>{words.pageNext}</Button>}
                <PrintLots ask={ask} count={page.count} />
              </div>
            </>
          )}
        </>
      )}
    </Page>
  );
}

/** How many pages there are, a page before the last being full; lots that went meanwhile make no page before this one vanish. */
function pagesOf({ lots, count, next }: LotsPage, before: number): number {
  return next === '' ? before + 1 : Math.max(Math.ceil(count / lots.length), before + 2);
}

/**
 * What was shown last, until the page asked for is there: the field that somebody types into must not vanish under them. Where
 * it cannot be had, nothing of another list is shown in its place.
 */
function useKept(loaded: Loaded<LotsPage>): { loaded: Loaded<LotsPage>; isBusy: boolean } {
  const last = useRef<Loaded<LotsPage> | undefined>(undefined);
  if (loaded.view) last.current = loaded;
  const isBusy = !loaded.view && !loaded.trouble && last.current !== undefined;
  return { loaded: isBusy && last.current ? last.current : loaded, isBusy };
}

interface ChoicesProps {
  page: LotsPage;
  ask: LotsAsk;
  search: string;
  onSearch: (search: string) => void;
  onAsk: (ask: LotsAsk) => void;
  count: string;
}

function Choices({ page, ask, search, onSearch, onAsk, count }: ChoicesProps) {
  const words = supervisorWords.value.lot;
  return (
    <>
      <p class="actions">
        <Link to={addressOf('lot', {})} class="button plain tap">
          {words.add}
        </Link>
        <Link to="/tags" class="button plain tap">
          {words.tagSheets}
        </Link>
      </p>
      <Filters count={count}>
        <label>
          <span>{words.search}</span>
          <input type="search" value={search} onInput={(event) => onSearch(event.currentTarget.value)} />
        </label>
        <CropPick crops={page.crops} value={ask.crop} onPick={(crop) => onAsk({ ...ask, crop })} />
        <Tick label={words.onlyDisagree} checked={ask.disagree} onTick={(disagree) => onAsk({ ...ask, disagree })} />
        <Tick label={words.goneToo} checked={ask.gone} onTick={(gone) => onAsk({ ...ask, gone })} />
      </Filters>
    </>
  );
}

function Nothing({ onClear }: { onClear: () => void }) {
  return <NoneMatch said={supervisorWords.value.lot.noneMatch} clear={appWords.value.common.clear} onClear={onClear} />;
}
