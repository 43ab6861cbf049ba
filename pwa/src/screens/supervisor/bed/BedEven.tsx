import type { BedScore } from '../../../../../schema/types';
import { IntervalBar } from '../../../parts/IntervalBar';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { estimate, percent, percentEstimate, points, range } from '../../../words/format';
import { traitName } from '../names';
import { Section } from '../Page';

/** The bed's one number with its interval, what holds it back, and whether the walk saw enough to say so. */
export function BedEven({ score }: { score: BedScore }) {
  const words = supervisorWords.value.bed;
  const { uniformity } = score;
  const thin = score.traits.find((trait) => trait.trait === score.limiting_trait)?.thin?.length ?? 0;
  const hasNumber = uniformity.known && !score.too_few_pots;
  return (
    <Section title={words.evenTitle} class="even">
      {hasNumber ? (
        <>
          <p class="figured">
            <b>{points(uniformity.value)}</b>
            <span>
              {range(uniformity.interval, points)}
              <br />
              <span class="small quiet">{words.outOf}</span>
            </span>
          </p>
          <IntervalBar
            label={`${appWords.value.common.uniformity}: ${estimate(uniformity, points)}`}
            value={uniformity.value}
            interval={uniformity.interval}
          />
          <ul class="said">
            {score.limiting_trait && <li>{words.limitingTrait(traitName(score.limiting_trait))}</li>}
            {thin > 0 && <li>{words.fewInLots(thin)}</li>}
            {score.traits
              .filter((trait) => trait.uniformity.known)
              .map((trait) => (
                <li key={trait.trait}>
                  {words.trait(traitName(trait.trait), estimate(trait.uniformity, points), trait.n)}
                </li>
              ))}
          </ul>
        </>
      ) : (
        <p>{score.too_few_pots ? words.tooFewPots(score.seen) : words.notMeasured}</p>
      )}
      <ul class="said small quiet">
        <li>{stopWords(score)}</li>
        {score.without_slips.known && <li>{words.withoutSlips(estimate(score.without_slips, points))}</li>}
        {score.between_lots.known && (
          <li>{words.between(percentEstimate(score.between_lots), score.between_lots.n)}</li>
        )}
        {score.edge.known && <li>{words.edge(percent(score.edge.value), percent(score.edge_bed))}</li>}
      </ul>
    </Section>
  );
}

function stopWords({ stop: { verdict, more }, unwalked }: BedScore): string {
  const words = supervisorWords.value.bed;
  if (verdict === 'enough' && unwalked) {
    return words.enoughOfRest(unwalked.from_row, unwalked.to_row, unwalked.side !== undefined);
  }
  if (verdict === 'enough') return words.enough;
  if (verdict === 'maximum') return words.maximum;
  return verdict === 'minimum' ? words.minimum(more) : words.more(more);
}
