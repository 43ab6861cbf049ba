import { useState } from 'preact/hooks';
import type { HistoryLine, LotView } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { DataTable } from '../../../parts/DataTable';
import { supervisorWords } from '../../../words/supervisor';
import { stamp } from '../../../words/format';
import { Section } from '../Page';
import { kindName, describeEntry } from '../../../words/entry';

const AT_ONCE = 50;

/** Every entry about the lot as it was written. Nothing is ever taken out of it. */
export function LotHistory({ view }: { view: LotView }) {
  const words = supervisorWords.value.lot;
  const [shown, setShown] = useState(AT_ONCE);
  const rest = view.history.length - shown;
  return (
    <Section title={words.historyTitle}>
      <p class="small quiet">{words.historyNote}</p>
      <DataTable
        caption={words.historyTitle}
        captionUnseen
        stacks="compact"
        rows={view.history.slice(0, shown)}
        keyOf={(line) => line.entry}
        columns={[
          { key: 'when', title: words.historyWhen, cell: (line) => stamp(line.at), whole: true, heads: true },
          { key: 'who', title: words.historyWho, cell: (line) => line.person_name, whole: true },
          { key: 'what', title: words.historyWhat, cell: what, long: true },
          { key: 'device', title: words.historyDevice, cell: (line) => line.device_name, whole: true },
        ]}
      />
      {rest > 0 && (
        <Button onClick={() => setShown(shown + AT_ONCE * 4)}>{words.historyMore(Math.min(rest, AT_ONCE * 4))}</Button>
      )}
    </Section>
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
