import type { CooledLot, Cooler } from '../../../../../schema/types';
import { StepCautions } from '../../../parts/Caution';
import { Link } from '../../../router';
import { temperature } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { ChillTable } from '../cooler/ChillTable';
import { saidDays, saidOut } from '../cooler/coolerWords';
import { LotsCooled } from '../cooler/LotsCooled';
import { Section } from '../Page';
import '../../../style/supervisor-cooler.css';

/** A lot's time in a cooler, as the Cooler page has it. */
export function Cold({ lot, cooler }: { lot: CooledLot; cooler: Cooler | undefined }) {
  const words = supervisorWords.value.cooler;
  return (
    <Section id="cold" title={cooler ? `${words.title}: ${cooler.name}` : words.astrayTitle} class="cooler">
      {lot.out === '' && <StepCautions steps={['into_cooler']} />}
      {cooler ? (
        <>
          <p>
            {(cooler.own_band ? words.band : words.bandStart)(
              temperature(cooler.band_low_dc),
              temperature(cooler.band_high_dc),
            )}
          </p>
          <LotsCooled cooler={cooler} />
          <p class="small quiet">{words.latestNote}</p>
          <ChillTable cooler={cooler} />
        </>
      ) : (
        <>
          {[...saidDays(lot), ...saidOut(lot)].map((said) => (
            <p key={said}>{said}</p>
          ))}
          <p>{words.astray(1)}</p>
        </>
      )}
      <p>
        <Link to="/plan/cooler">{words.title}</Link>
      </p>
    </Section>
  );
}
