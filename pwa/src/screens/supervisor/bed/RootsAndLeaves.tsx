import type { BedScore } from '../../../../../schema/types';
import { Counts } from '../../../parts/Counts';
import { ShareBar } from '../../../parts/ShareBar';
import { supervisorWords } from '../../../words/supervisor';
import { distance, number } from '../../../words/format';
import { Section } from '../Page';

/** Roots as two questions (how far, and alive or not), and every trouble as a share of the pots looked at. */
export function RootsAndLeaves({ score }: { score: BedScore }) {
  const words = supervisorWords.value.bed;
  const sum = (pick: 'root_cover' | 'root_life', length: number) =>
    Array.from({ length }, (_, i) => score.lots.reduce((all, lot) => all + (lot[pick][i] ?? 0), 0));
  const cover = sum('root_cover', 6);
  const life = sum('root_life', 5);
  const flush = score.lots.reduce((all, lot) => all + lot.soft_flush, 0);
  const patch = score.patch_m ?? 0;
  const looked = Math.max(score.rot.n, score.chlorosis.n, score.disease.n);
  return (
    <Section title={words.rootsTitle}>
      <div class="columns three">
        <Classes title={words.cover} labels={words.coverClass} counts={cover} first={0} />
        <Classes title={words.life} labels={words.lifeClass} counts={life} first={1} />
        <div class="troubles">
          <ShareBar label={words.rot} share={score.rot} />
          <ShareBar label={words.thin} share={score.thin_roots} />
          <ShareBar
            label={words.chlorosis}
            share={score.chlorosis}
            note={score.severity_n > 0 ? words.severity(number(score.severity), score.severity_n) : undefined}
          />
          <ShareBar label={words.disease} share={score.disease} />
          <ShareBar
            label={words.lowerBrown}
            share={score.lower_brown}
            note={
              score.lower_brown.n === 0 && score.lower_brown.x > 0
                ? `${words.lowerBrownTicked(score.lower_brown.x)}; ${words.lowerBrownNote}`
                : words.lowerBrownNote
            }
          />
          {patch > 0 && <p class="small quiet">{words.patchFrom(looked, distance(patch * 1000))}</p>}
          {flush > 0 && <p class="small quiet">{words.softFlush(flush)}</p>}
        </div>
      </div>
    </Section>
  );
}

interface ClassesProps {
  title: string;
  labels: readonly string[];
  counts: readonly number[];
  first: number;
}

function Classes({ title, labels, counts, first }: ClassesProps) {
  const looked = counts.some((count) => count > 0);
  return (
    <div>
      <h3>{title}</h3>
      {looked ? (
        <Counts
          name={title}
          classes={counts.map((count, i) => ({ label: String(i + first), hint: labels[i] ?? '', count }))}
        />
      ) : (
        <p class="quiet">{supervisorWords.value.bed.notLooked}</p>
      )}
    </div>
  );
}
