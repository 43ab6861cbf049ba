/** The lots that stood on a bed and whose notes this phone has let go, or keeps because somebody asked for it. */
import { useState } from 'preact/hooks';
import { stretchesOf } from '../../../forms/place';
import { Button } from '../../../parts/Button';
import { sayNotSaved } from '../../../parts/Toast';
import { whenHere } from '../../../parts/whenHere';
import { keepLot, whereabouts, type Whereabouts } from '../../../journal/letgo/keep';
import { everySpanOf } from '../../../journal/records/input';
import { useStored } from '../../../journal/records/read';
import { amendWords } from '../../../words/rooms';
import { ago, atWhen, day, percentEstimate } from '../../../words/format';
import { nameOfBed, nameOfLot } from '../../../words/names';

export function Earlier({ bed }: { bed: string }) {
  const spans = everySpanOf(bed);
  const standing = new Set(spans.filter((span) => span.ended !== true).map((span) => span.lot));
  const lots = [...new Set(spans.flatMap(({ lot }) => (lot !== undefined && !standing.has(lot) ? [lot] : [])))].sort();
  const [taps, setTaps] = useState(0);
  const found = useStored(
    () => Promise.all(lots.map(async (lot) => ({ lot, ...(await whereabouts(lot)) }))),
    [lots.join(' '), taps],
  );
  const shown = found?.filter(({ gone, pinned }) => gone > 0 || pinned) ?? [];
  if (shown.length === 0) return null;
  const keep = async (lot: string, how: Parameters<typeof keepLot>[1]) => {
    await keepLot(lot, how).catch(sayNotSaved);
    setTaps((before) => before + 1);
  };
  return (
    <section>
      <h2>{amendWords.value.earlier.title}</h2>
      <ul class="facts">
        {shown.map(({ lot, ...known }) => (
          <li key={lot}>
            <span>
              <b>{nameOfLot(lot)}</b>
              <Summary lot={lot} {...known} />
            </span>
            <Keeping {...known} onKeep={(how) => void keep(lot, how)} />
          </li>
        ))}
      </ul>
    </section>
  );
}

function Summary({ lot, gone, summary, asked }: Whereabouts & { lot: string }) {
  const words = amendWords.value.earlier;
  if (gone === 0) return <span class="small quiet">{words.pinned}</span>;
  const { uniformity, walked_at: walkedAt } = summary ?? {};
  const beds = [...new Set(stretchesOf(lot).map(({ bed = '' }) => nameOfBed(bed)))];
  return (
    <>
      {summary && (
        <span class="small">
          {[
            beds.length > 0 ? words.moved(beds.join(', ')) : '',
            summary.shipped_on ? words.shipped(summary.shipped, day(summary.shipped_on)) : '',
            uniformity?.known && walkedAt ? words.evenness(percentEstimate(uniformity), ago(walkedAt)) : '',
          ]
            .filter(Boolean)
            .join(' · ')}{' '}
          <span class="quiet">{words.asOf(atWhen(summary.asOf))}</span>
        </span>
      )}
      <span class="small quiet">{asked ? `${words.away(gone)} ${whenHere(words.coming)}` : words.away(gone)}</span>
    </>
  );
}

function Keeping({ gone, pinned, asked, onKeep }: Whereabouts & { onKeep: (how: 'day' | 'pinned' | 'free') => void }) {
  const words = amendWords.value.earlier;
  return (
    <div class="menu">
      {gone > 0 && !asked && (
        <Button size="walk" onClick={() => onKeep('day')}>
          {words.fetch}
        </Button>
      )}
      <Button size="walk" onClick={() => onKeep(pinned ? 'free' : 'pinned')}>
        {pinned ? words.unpin : words.pin}
      </Button>
    </div>
  );
}
