import { useRef, useState } from 'preact/hooks';
import type { HistoryLine, HistoryPage, LotView, WalkLine } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { DataTable } from '../../../parts/DataTable';
import { supervisorWords } from '../../../words/supervisor';
import { list, number, stamp } from '../../../words/format';
import { useView } from '../../../views/views';
import { useBedNames } from '../names';
import { Section } from '../Page';
import { inWords, Trouble } from '../Trouble';
import { kindName, describeEntry } from '../../../words/entry';

/** Every entry about the lot as it was written, a page at a time, the pots of a walk in one line. Nothing is ever taken out of it. */
export function LotHistory({ view }: { view: LotView }) {
  const words = supervisorWords.value.lot;
  const [turned, turn] = useState<readonly string[]>([]);
  const top = useRef<HTMLParagraphElement>(null);
  const before = turned.at(-1);
  const to = (pages: readonly string[]) => {
    turn(pages);
    top.current?.scrollIntoView();
    top.current?.focus({ preventScroll: true });
  };
  return (
    <Section title={words.historyTitle} id="history">
      <p class="small quiet" ref={top} tabIndex={-1}>
        {words.historyNote}
        {(turned.length > 0 || view.history.older !== '') && ` ${words.historyPage(number(turned.length + 1))}`}
      </p>
      {before === undefined ? (
        <Lines lot={view.lot.id} page={view.history} turned={turned} onTurn={to} />
      ) : (
        <Older lot={view.lot.id} before={before} turned={turned} onTurn={to} />
      )}
    </Section>
  );
}

interface Turning {
  lot: string;
  turned: readonly string[];
  onTurn: (pages: readonly string[]) => void;
}

function Older({ before, ...turning }: Turning & { before: string }) {
  const { view, trouble, slow } = useView<HistoryPage>(`lots/${turning.lot}/history?before=${before}`);
  const words = supervisorWords.value.pages.data;
  return (
    <>
      <Trouble said={trouble ? inWords(trouble) : ''} />
      {!view && <p role="status">{slow ? words.slow : words.loading}</p>}
      <Lines page={view ?? { lines: [], older: '' }} {...turning} />
    </>
  );
}

function Lines({ lot, page, turned, onTurn }: Turning & { page: HistoryPage }) {
  const words = supervisorWords.value.lot;
  return (
    <>
      {page.lines.length > 0 && (
        <DataTable
          caption={words.historyTitle}
          captionUnseen
          stacks="compact"
          rows={page.lines}
          keyOf={(line) => line.entry}
          columns={[
            { key: 'when', title: words.historyWhen, cell: (line) => stamp(line.at), whole: true, heads: true },
            { key: 'who', title: words.historyWho, cell: who, whole: true },
            { key: 'what', title: words.historyWhat, cell: (line) => what(lot, line), long: true },
            { key: 'device', title: words.historyDevice, cell: (line) => line.device_name, whole: true },
          ]}
        />
      )}
      {(turned.length > 0 || page.older !== '') && (
        <div class="actions">
          {turned.length > 0 && <Button onClick={() => onTurn(turned.slice(0, -1))}>{words.historyNewer}</Button>}
          {page.older !== '' && <Button onClick={() => onTurn([...turned, page.older])}>{words.historyOlder}</Button>}
        </div>
      )}
    </>
  );
}

function who({ person_name: name, walk }: HistoryLine): string {
  return walk ? list(walk.people) : name;
}

function what(lot: string, line: HistoryLine) {
  if (line.walk) return <Walked lot={lot} walk={line.walk} />;
  const said = describeEntry(line.kind, line.body);
  return (
    <>
      <b>{kindName(line.kind)}</b>
      {said && `: ${said}`}
    </>
  );
}

/** A walk in one line; a tap lists its pots. */
function Walked({ lot, walk }: { lot: string; walk: WalkLine }) {
  const words = supervisorWords.value.lot;
  const nameOf = useBedNames();
  const [isOpen, setOpen] = useState(false);
  return (
    <details class="past" onToggle={({ currentTarget }) => setOpen(currentTarget.open)}>
      <summary>
        <b>{words.historyWalk}</b>: {words.historyPots(nameOf(walk.bed), walk.pots)}
      </summary>
      {isOpen && <WalkPots lot={lot} walk={walk} before="" />}
    </details>
  );
}

/** The pots of a walk, a page and a button for the next. */
function WalkPots({ lot, walk, before }: { lot: string; walk: WalkLine; before: string }) {
  const words = supervisorWords.value;
  const [more, showMore] = useState(false);
  const query = `walk=${walk.walk}${before === '' ? '' : `&before=${before}`}`;
  const { view, trouble, slow } = useView<HistoryPage>(`lots/${lot}/history?${query}`);
  return (
    <>
      <Trouble said={trouble ? inWords(trouble) : ''} />
      {!view && !trouble && <p role="status">{slow ? words.pages.data.slow : words.pages.data.loading}</p>}
      <ul>
        {view?.lines.map((line) => (
          <li key={line.entry}>
            {describeEntry(line.kind, line.body)} <span class="small quiet">{stamp(line.at)}</span>
          </li>
        ))}
      </ul>
      {view && view.older !== '' && !more && <Button onClick={() => showMore(true)}>{words.lot.historyOlder}</Button>}
      {view && view.older !== '' && more && <WalkPots lot={lot} walk={walk} before={view.older} />}
    </>
  );
}
