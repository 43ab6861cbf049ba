import type { BedView, PotView } from '../../../../../schema/types';
import { BedStrip, StripTable, type PotState, type StripPot } from '../../../parts/BedStrip';
import { Twin } from '../../../parts/Figure';
import { supervisorWords } from '../../../words/supervisor';
import { lotLine } from '../../../words/names';
import { bedName } from '../names';
import { Section } from '../Page';

/** The bed with every pot that was looked at, where it stands. */
export function AlongBed({ view }: { view: BedView }) {
  const words = supervisorWords.value.bed;
  const { bed } = view;
  const pots = view.pots.flatMap((pot): StripPot[] =>
    pot.now.place ? [{ id: pot.id, place: pot.now.place, state: stateOf(pot), lot: pot.now.lot }] : [],
  );
  const spans = bed.spans.map((span) => ({ ...span, label: lotLine(span) }));
  return (
    <Section title={words.alongTitle}>
      <BedStrip
        bed={bedName(bed.name)}
        rows={bed.rows}
        across={bed.across}
        spans={spans}
        pots={pots}
        few={bed.score?.too_few_pots ?? false}
        entryEnd={bed.entry_end}
        farEnd={bed.far_end}
        height={96}
        twin={false}
      />
      <ul class="legend small">
        <li>
          <Mark state="seen" /> {words.legendSeen}
        </li>
        <li>
          <Mark state="trouble" /> {words.legendTrouble}
        </li>
        <li>
          <Mark state="voided" /> {words.legendVoided}
        </li>
      </ul>
      <p class="small quiet">{words.alongNote}</p>
      <Twin table={() => <StripTable pots={pots} spans={spans} />} />
    </Section>
  );
}

function Mark({ state }: { state: PotState }) {
  return (
    <svg width="14" height="14" aria-hidden="true">
      {state === 'voided' ? (
        <path class="pot voided" d="M3.5 3.5l7 7m0-7l-7 7" />
      ) : (
        <circle class={`pot ${state}`} cx="7" cy="7" r="4.5" />
      )}
    </svg>
  );
}

/** Trouble as sync/bed counts it: dead roots that the scratch test does not clear, chlorosis, or disease suspected. */
function stateOf({ now, voided }: PotView): PotState {
  if (voided) return 'voided';
  const dead = now.root_life !== undefined && now.root_life <= 2 && now.scratch !== 'firm_white';
  const rot = dead || now.scratch === 'soft';
  const pale = now.chlorosis !== undefined && now.chlorosis !== 'none';
  return rot || pale || now.disease ? 'trouble' : 'seen';
}
