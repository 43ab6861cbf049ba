import { useEffect, useState } from 'preact/hooks';
import type { LotBrief, LotsPage } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { ask as askServer, Refusal } from '../../../journal/wire';
import { supervisorWords } from '../../../words/supervisor';
import { inWords, Trouble } from '../Trouble';
import { LotsTable } from './LotsTable';
import { pathOf, type LotsAsk } from './lotsAsk';

/** Prints the whole list as it is searched, filtered and sorted. Its rows are drawn for the printer alone, and gone after it. */
export function PrintLots({ ask, count }: { ask: LotsAsk; count: number }) {
  const words = supervisorWords.value.lot;
  const [lots, setLots] = useState<readonly LotBrief[] | undefined>(undefined);
  const [isLoading, setLoading] = useState(false);
  const [trouble, setTrouble] = useState('');
  useEffect(() => {
    if (!lots) return;
    const over = () => setLots(undefined);
    addEventListener('afterprint', over);
    print();
    return () => removeEventListener('afterprint', over);
  }, [lots]);
  const load = async () => {
    setLoading(true);
    setTrouble('');
    try {
      setLots(await allLots(ask));
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      setTrouble(inWords(error));
    } finally {
      setLoading(false);
    }
  };
  return (
    <>
      <Button disabled={isLoading} onClick={() => void load()}>
        {words.printAll(count)}
      </Button>
      <Trouble said={trouble} />
      {lots && (
        <div class="for-printer">
          <LotsTable lots={lots} />
        </div>
      )}
    </>
  );
}

async function allLots(ask: LotsAsk): Promise<LotBrief[]> {
  const all = new Map<string, LotBrief>();
  for (let after: string | undefined = ''; after !== undefined;) {
    const page = (await askServer(`/api/views/${pathOf(ask, after)}`)) as LotsPage | undefined;
    if (!page) throw new Refusal('portal');
    // A lot that was changed meanwhile may come twice.
    for (const lot of page.lots) all.set(lot.id, lot);
    after = page.next || undefined;
  }
  return [...all.values()];
}
