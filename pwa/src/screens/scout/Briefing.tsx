/** What the server computed of a bed's last walk and of how this scout reads: dated, and kept for when out of range. */
import type { Drift, Finding, FieldBriefing } from '../../../../schema/types';
import { spansOf } from '../../journal/records/input';
import { beds } from '../../journal/records/registers';
import { appWords } from '../../words';
import { ago, atWhen, length, number, percent, signedPercent } from '../../words/format';
import { briefingWords, describeFinding } from '../../words/briefing';
import { FIELD_BRIEFING, useView } from '../../views/views';
import { nameOfLot } from '../../words/names';
import { sideNames } from '../../words/place';

/**
 * What a walk of this bed says; of flags that stand together only where, since how many is said above. `walk` is the newest one that
 * the phone knows; the server may not have it yet.
 */
export function Says({ bed, walk }: { bed: string; walk: string }) {
  const words = briefingWords.value.briefing;
  const { briefed, at, findings } = useFindings(bed);
  return (
    <section class="says">
      <h2>{words.says}</h2>
      {!briefed ? (
        <p class="quiet">{words.notYet}</p>
      ) : (
        <>
          {briefed.walk !== walk && <p class="small quiet">{words.older(ago(briefed.at))}</p>}
          {findings.length === 0 ? (
            <p class="quiet">{words.none}</p>
          ) : (
            <ul>
              {findings.map((finding, index) => (
                <li key={`${finding.code} ${index}`} class={finding.attention ? 'step' : ''}>
                  {sentence(finding, bed)}
                </li>
              ))}
            </ul>
          )}
          <p class="small quiet">{words.asOf(atWhen(at))}</p>
        </>
      )}
    </section>
  );
}

function useFindings(bed: string) {
  const { view, at } = useView<FieldBriefing>(FIELD_BRIEFING);
  const briefed = view?.beds.find((each) => each.bed === bed);
  const findings = (briefed?.findings ?? [])
    .filter((one, _, all) => !all.some(({ code }) => code === `patch_${one.code}`))
    .sort((a, b) => Number(b.attention) - Number(a.attention));
  return { briefed, at, findings };
}

/** The findings that are shown of this very walk; what they say with these numbers need not be said above them too. */
export function useFindingsOf(bed: string, walk: string | undefined): readonly Finding[] {
  const { briefed, findings } = useFindings(bed);
  return briefed && briefed.walk === walk ? findings.filter((finding) => !finding.seen_at) : [];
}

function sentence(finding: Finding, bed: string): string {
  const place = beds.value.get(bed);
  const standing = spansOf(bed).some((span) => span.lot === finding.lot);
  return describeFinding(finding, {
    lot: standing && finding.lot ? nameOfLot(finding.lot) : '',
    entryEnd: place?.entry_end ?? appWords.value.common.strip.entry,
    farEnd: place?.far_end ?? '',
    ...sideNames(place),
    size: (value) => (finding.trait === 'buds' ? number(value) : length(value)),
  });
}

/** How this scout reads heads beside the others, in kind words; nothing while that is not known. */
export function HowYouRead() {
  const drift = useView<FieldBriefing>(FIELD_BRIEFING).view?.drift;
  if (!drift?.bias.interval.known) return null;
  return (
    <section class="reads">
      <h2>{briefingWords.value.briefing.reads}</h2>
      <p>{read(drift)}</p>
      {drift.attention && <p>{briefingWords.value.briefing.together}</p>}
    </section>
  );
}

function read({ bias, walks }: Drift): string {
  const words = briefingWords.value.briefing;
  const { low, high } = bias.interval;
  const range = [signedPercent(low), signedPercent(high), walks] as const;
  if (low <= 0 && high >= 0) return words.like(...range);
  return bias.value > 0
    ? words.large(percent(bias.value, 1), ...range)
    : words.small(percent(-bias.value, 1), ...range);
}
