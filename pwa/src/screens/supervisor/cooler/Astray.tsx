import { useState } from 'preact/hooks';
import type { CooledLot, Cooler } from '../../../../../schema/types';
import { intent, save } from '../../../journal/outbox/write';
import { SelectField } from '../../../forms/fields';
import { Button } from '../../../parts/Button';
import { say, sayNotSaved } from '../../../parts/Toast';
import { Link } from '../../../router';
import { day } from '../../../words/format';
import { lotLine } from '../../../words/names';
import { supervisorWords } from '../../../words/supervisor';
import { Section } from '../Page';

/** Lots that went into a cooler of which nobody wrote which one it was. */
export function Astray({ lots, coolers }: { lots: readonly CooledLot[]; coolers: readonly Cooler[] }) {
  const words = supervisorWords.value.cooler;
  return (
    <Section title={words.astrayTitle}>
      <p>{words.astray(lots.length)}</p>
      <ul class="astray">
        {lots.map((lot) => (
          <One key={lot.lot} lot={lot} coolers={coolers} />
        ))}
      </ul>
    </Section>
  );
}

function One({ lot, coolers }: { lot: CooledLot; coolers: readonly Cooler[] }) {
  const words = supervisorWords.value.cooler;
  const [house, choose] = useState('');
  const name = coolers.find((cooler) => cooler.house === house)?.name ?? '';
  const write = async () => {
    try {
      // The same step on the same day: that it names its cooler is all that is new.
      await save([intent('event', { lot: lot.lot, what: 'into_cooler', on: lot.in, house })]);
      say(words.whichSaved(lot.tag, name));
    } catch (error) {
      sayNotSaved(error);
    }
  };
  return (
    <li>
      <span>
        <Link to={`/lots/${lot.lot}`}>{lotLine(lot)}</Link> {words.from(day(lot.in))}
      </span>
      {coolers.length > 0 && (
        <>
          <SelectField
            label={words.which}
            value={house}
            none="–"
            options={coolers.map((cooler) => ({ value: cooler.house, label: cooler.name }))}
            onChoose={choose}
          />
          <Button disabled={house === ''} onClick={() => void write()}>
            {words.saveWhich}
          </Button>
        </>
      )}
    </li>
  );
}
