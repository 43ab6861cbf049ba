import { useState } from 'preact/hooks';
import type { Cooler as CoolerPart, CoolerView } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { Link } from '../../../router';
import { temperature } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { StepCautions } from '../../../parts/Caution';
import { Section } from '../Page';
import { Part } from '../plan/Parts';
import { Astray } from './Astray';
import { ChillTable } from './ChillTable';
import { CoolerEdit } from './CoolerEdit';
import { Files } from './Files';
import { HandReading } from './HandReading';
import { LotsCooled } from './LotsCooled';
import { SpotHeat } from './SpotHeat';
import '../../../style/supervisor-plan.css';
import '../../../style/supervisor-cooler.css';

/** What is in the coolers, how many days of it count, and how cold it was. */
export function Cooler() {
  return (
    <Part<CoolerView> here="cooler" path="cooler" title={() => supervisorWords.value.cooler.title}>
      {(view) => <All view={view} />}
    </Part>
  );
}

function All({ view }: { view: CoolerView }) {
  const words = supervisorWords.value.cooler;
  const [adds, add] = useState(false);
  return (
    <>
      <StepCautions steps={['into_cooler']} />
      <p class="small">{words.gases}</p>
      <p class="intro">{words.intro}</p>
      {view.coolers.length === 0 && <p>{words.none}</p>}
      {adds ? (
        <CoolerEdit id="" onDone={() => add(false)} />
      ) : (
        <p class="actions">
          {view.coolers.length > 0 && (
            <Link to="/plan/logger" class="button plain tap">
              {words.toFile}
            </Link>
          )}
          <Button onClick={() => add(true)}>{words.setUp}</Button>
        </p>
      )}
      {view.astray.length > 0 && <Astray lots={view.astray} coolers={view.coolers} />}
      {view.coolers.map((cooler) => (
        <One key={cooler.house} cooler={cooler} />
      ))}
      {view.coolers.length > 0 && <Files files={view.files} coolers={view.coolers} />}
    </>
  );
}

function One({ cooler }: { cooler: CoolerPart }) {
  const words = supervisorWords.value.cooler;
  const [open, setOpen] = useState<'' | 'edit' | 'hand'>('');
  const close = () => setOpen('');
  const band = cooler.own_band ? words.band : words.bandStart;
  const inside = cooler.lots.filter((lot) => lot.out === '').length;
  return (
    <Section title={cooler.name} class="cooler">
      <p>{band(temperature(cooler.band_low_dc), temperature(cooler.band_high_dc))}</p>
      {open === 'edit' && <CoolerEdit id={cooler.house} onDone={close} />}
      {open === 'hand' && <HandReading cooler={cooler} onDone={close} />}
      {open === '' && (
        <p class="actions">
          <Button onClick={() => setOpen('edit')}>{words.edit}</Button>
          <Button onClick={() => setOpen('hand')}>{words.byHand}</Button>
        </p>
      )}
      {cooler.lots.length === 0 ? (
        <p class="quiet">{words.noLots}</p>
      ) : (
        <>
          <p class="quiet">{words.counted(inside, cooler.lots.length - inside)}</p>
          <LotsCooled cooler={cooler} />
          <p class="small quiet">{words.latestNote}</p>
        </>
      )}
      {cooler.spots.length > 0 && cooler.lots.length > 0 && (
        <>
          <h3>{words.heatTitle}</h3>
          {cooler.spots.map((spot) => (
            <SpotHeat key={`${spot.by_hand} ${spot.spot}`} cooler={cooler} spot={spot} />
          ))}
          <ChillTable cooler={cooler} />
        </>
      )}
    </Section>
  );
}
