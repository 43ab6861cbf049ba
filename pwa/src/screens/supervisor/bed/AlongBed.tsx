import type { BedView, PotView } from '../../../../../schema/types';
import { BedStrip, Dot, EDGE, StripTable, type PotState, type StripPot } from '../../../parts/BedStrip';
import { Twin } from '../../../parts/Figure';
import { supervisorWords } from '../../../words/supervisor';
import { lotLine } from '../../../words/names';
import { bedName } from '../names';
import { Section } from '../Page';
import { AXIS, HeadAlong, isOutOfBand } from './HeadAlong';

interface Props {
  view: BedView;
  pinned: BedView | undefined;
}

/** The bed with every pot that was looked at, where it stands, and head size along it. */
export function AlongBed({ view, pinned }: Props) {
  const words = supervisorWords.value.bed;
  const long = Math.max(view.bed.length_mm, pinned?.bed.length_mm ?? 0);
  return (
    <Section title={words.alongTitle}>
      <Above view={view} long={long} isNamed={pinned !== undefined} />
      {pinned && <Above view={pinned} long={long} isNamed />}
      <ul class="legend small">
        <li>
          <Mark state="seen" /> {words.legendSeen}
        </li>
        <li>
          <Mark state="seen" isOut /> {words.legendOut}
        </li>
        <li>
          <Mark state="trouble" isOut={false} /> <Mark state="trouble" isOut /> {words.legendTrouble}
        </li>
        <li>
          <Mark state="voided" /> {words.legendVoided}
        </li>
      </ul>
      <p class="small quiet">{words.alongNote}</p>
      <Twin table={() => <StripTable pots={potsOf(view)} spans={spansOf(view)} out={words.outOfBand} />} />
      <HeadAlong view={view} pinned={pinned} />
    </Section>
  );
}

/** A bed from above, as long as its share of the axis of the plot below. */
function Above({ view, long, isNamed }: { view: BedView; long: number; isNamed: boolean }) {
  const { bed } = view;
  const name = bedName(bed.name);
  return (
    <div class="above-axis" style={{ '--axis': `${AXIS - EDGE}px`, '--long': bed.length_mm / long }}>
      {isNamed && <b class="small">{name}</b>}
      <BedStrip
        bed={name}
        rows={bed.rows}
        across={bed.across}
        spans={spansOf(view)}
        pots={potsOf(view)}
        few={bed.score?.too_few_pots ?? false}
        entryEnd={bed.entry_end}
        farEnd={bed.far_end}
        height={isNamed ? 48 : 72}
        twin={false}
      />
    </div>
  );
}

const spansOf = ({ bed }: BedView) => bed.spans.map((span) => ({ ...span, label: lotLine(span) }));

const potsOf = (view: BedView) =>
  view.pots.flatMap((pot): StripPot[] => {
    const { place, lot } = pot.now;
    if (!place) return [];
    return [{ id: pot.id, place, state: stateOf(pot), lot, isOut: isOutOfBand(view, pot) }];
  });

function Mark(of: Pick<StripPot, 'state' | 'isOut'>) {
  return (
    <svg width="14" height="14" aria-hidden="true">
      <Dot x={7} y={7} {...of} />
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
