import type { BedBrief } from '../../../../../schema/types';
import { supervisorWords } from '../../../words/supervisor';
import { points } from '../../../words/format';
import { isDue } from '../names';
import { shownNumber, Strip } from './Strip';

interface Props {
  name: string;
  note?: string;
  beds: readonly BedBrief[];
  /** The place of each bed in the attention list. */
  ranks: ReadonlyMap<string, number>;
  longest: number;
}

/** The beds of one house, or of one ship week, as strips in two columns; every bed lies the same way, entry end left. */
export function HousePlan({ name, note, beds, ranks, longest }: Props) {
  const words = supervisorWords.value.morning;
  const mean = meanOf(beds);
  const due = beds.filter(isDue).length;
  return (
    <section class="house">
      <header>
        <h2>{name}</h2>
        {note && <span class="note">{note}</span>}
        <span class="sum small">
          {[due > 0 ? words.dueCount(due) : '', mean === undefined ? '' : words.meanOf(points(mean))]
            .filter(Boolean)
            .join(' · ')}
        </span>
      </header>
      <Strips beds={beds} ranks={ranks} longest={longest} label={name} />
    </section>
  );
}

interface StripsProps {
  beds: readonly BedBrief[];
  ranks: ReadonlyMap<string, number>;
  longest: number;
  label: string;
}

export function Strips({ beds, ranks, longest, label }: StripsProps) {
  return (
    <ul class="beds" aria-label={label} style={{ '--rows': Math.ceil(beds.length / 2) }}>
      {beds.map((bed) => (
        <Strip key={bed.id} bed={bed} rank={ranks.get(bed.id) ?? 0} longest={longest} />
      ))}
    </ul>
  );
}

/** The mean of the numbers that the beds show; undefined where none shows one. */
export function meanOf(beds: readonly BedBrief[]): number | undefined {
  const known = beds.map(shownNumber).filter((value) => value !== undefined);
  return known.length === 0 ? undefined : known.reduce((sum, value) => sum + value, 0) / known.length;
}

export function longestOf(beds: readonly BedBrief[]): number {
  return Math.max(1, ...beds.map((bed) => bed.length_mm));
}
