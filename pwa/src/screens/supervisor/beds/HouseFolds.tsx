import type { BedBrief, HouseView } from '../../../../../schema/types';
import { Link } from '../../../router';
import { supervisorWords } from '../../../words/supervisor';
import { points } from '../../../words/format';
import { bedName, isDue } from '../names';
import { longestOf, meanOf, Strips } from './HousePlan';
import { addressOf, type Place } from './place';
import { shownNumber, toneOfBed } from './Strip';

interface Props {
  houses: readonly { house: HouseView; beds: readonly BedBrief[] }[];
  ranks: ReadonlyMap<string, number>;
  place: Place;
}

/** Houses of a large nursery, a line each, worst first; one is open at a time. */
export function HouseFolds({ houses, ranks, place }: Props) {
  const words = supervisorWords.value.morning;
  const sorted = [...houses].sort((a, b) => (meanOf(a.beds) ?? 2) - (meanOf(b.beds) ?? 2));
  return (
    <>
      <div class="folds">
        {sorted.map(({ house, beds }) => {
          const name = supervisorWords.value.pages.houseName(house.name);
          const isOpen = place.open === house.id;
          const mean = meanOf(beds);
          const worst = worstFirst(beds);
          const ranked = beds.filter((bed) => ranks.has(bed.id)).length;
          return (
            <section key={house.id} class="fold">
              <Link to={addressOf({ ...place, open: isOpen ? '' : house.id })} instead class="foldline">
                <span class="arrow" aria-hidden="true">
                  {isOpen ? '▾' : '▸'}
                </span>
                <b class="name">{name}</b>
                <span class="unseen">{isOpen ? words.shutHouse(name) : words.openHouse(name)}</span>
                <span class="n">{words.bedsTitle(beds.length)}</span>
                <span class="n">{words.dueCount(beds.filter(isDue).length)}</span>
                <b class="n">{mean === undefined ? '' : points(mean)}</b>
                <Blocks beds={worst} />
                <span class="worst small">{worst.slice(0, 2).map(nameAndNumber).join(' · ')}</span>
                {ranked > 0 && (
                  <span class="rank" aria-hidden="true">
                    {ranked}
                  </span>
                )}
              </Link>
              {isOpen && <Strips beds={beds} ranks={ranks} longest={longestOf(beds)} label={name} />}
            </section>
          );
        })}
      </div>
      <p class="small quiet">{words.foldNote}</p>
    </>
  );
}

/** The beds of lowest uniformity first, those without a number last. */
export function worstFirst(beds: readonly BedBrief[]): BedBrief[] {
  return [...beds].sort((a, b) => (shownNumber(a) ?? 2) - (shownNumber(b) ?? 2));
}

export function nameAndNumber(bed: BedBrief): string {
  const value = shownNumber(bed);
  return value === undefined ? bedName(bed.name) : `${bedName(bed.name)} ${points(value)}`;
}

const BLOCK = 9;

function Blocks({ beds }: { beds: readonly BedBrief[] }) {
  return (
    <svg class="blocks" width={beds.length * BLOCK} height="18" aria-hidden="true">
      {beds.map((bed, index) => {
        const value = shownNumber(bed);
        const out = value === undefined ? 0 : (1 - value) * 17;
        return (
          <g key={bed.id} transform={`translate(${index * BLOCK} 0)`}>
            <rect class={value === undefined ? 'frame few' : 'frame'} x="0.5" y="0.5" width={BLOCK - 2} height="17" />
            {value !== undefined && (
              <rect class={toneOfBed(bed, value)} x="0.5" y={17.5 - out} width={BLOCK - 2} height={out} />
            )}
          </g>
        );
      })}
    </svg>
  );
}
