import { useRef, useState } from 'preact/hooks';
import type { HistoryLine, HistoryPage, LotView } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { DataTable } from '../../../parts/DataTable';
import { supervisorWords } from '../../../words/supervisor';
import { number, stamp } from '../../../words/format';
import { useView } from '../../../views/views';
import { Section } from '../Page';
import { inWords, Trouble } from '../Trouble';
import { kindName, describeEntry } from '../../../words/entry';

/** Every entry about the lot as it was written, a page at a time. Nothing is ever taken out of it. */
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
    <Section title={words.historyTitle}>
      <p class="small quiet" ref={top} tabIndex={-1}>
        {words.historyNote}
        {(turned.length > 0 || view.history.older !== '') && ` ${words.historyPage(number(turned.length + 1))}`}
      </p>
      {before === undefined ? (
        <Lines page={view.history} turned={turned} onTurn={to} />
      ) : (
        <Older lot={view.lot.id} before={before} turned={turned} onTurn={to} />
      )}
    </Section>
  );
}

interface Turning {
  turned: readonly string[];
  onTurn: (pages: readonly string[]) => void;
}

function Older({ lot, before, ...turning }: Turning & { lot: string; before: string }) {
  const { view, trouble, slow } = useView<HistoryPage>(`lots/${lot}/history?before=${before}`);
  const words = supervisorWords.value.pages.data;
  return (
    <>
      <Trouble said={trouble ? inWords(trouble) : ''} />
      {!view && <p role="status">{slow ? words.slow : words.loading}</p>}
      <Lines page={view ?? { lines: [], older: '' }} {...turning} />
    </>
  );
}

function Lines({ page, turned, onTurn }: Turning & { page: HistoryPage }) {
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
            { key: 'who', title: words.historyWho, cell: (line) => line.person_name, whole: true },
            { key: 'what', title: words.historyWhat, cell: what, long: true },
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

function what(line: HistoryLine) {
  const said = describeEntry(line.kind, line.body);
  return (
    <>
      <b>{kindName(line.kind)}</b>
      {said && `: ${said}`}
    </>
  );
}
