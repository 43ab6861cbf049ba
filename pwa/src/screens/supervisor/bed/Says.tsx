import type { BedScore, BedView } from '../../../../../schema/types';
import { supervisorWords } from '../../../words/supervisor';
import { sentence } from '../names';
import { Section } from '../Page';

/** What the walk found, in sentences; what needs a step first. */
export function Says({ view, score }: { view: BedView; score: BedScore }) {
  const words = supervisorWords.value.bed;
  const walked = view.walks.find((point) => point.walk === view.walk);
  const findings = [...score.findings].sort((a, b) => Number(b.attention) - Number(a.attention));
  return (
    <Section title={words.saysTitle} class="says">
      {view.walk === view.bed.last_walk && view.bed.under_way && view.bed.under_way.walk !== view.walk && (
        <p class="small quiet">{words.saysUnderWay}</p>
      )}
      {walked?.unfinished && <p class="small quiet">{words.saysPart}</p>}
      {findings.length === 0 ? (
        <p class="quiet">{words.saysNone}</p>
      ) : (
        <ul>
          {findings.map((finding, index) => (
            <li key={`${finding.code} ${index}`} class={finding.attention ? 'step' : ''}>
              {finding.attention && <span class="unseen">{supervisorWords.value.pages.overview.stepNeeded}: </span>}
              {sentence(finding, view.bed)}
            </li>
          ))}
        </ul>
      )}
    </Section>
  );
}
