/** The words of the briefing that a phone gets from the server, findings among them: both languages come with the screens that show it. */
import type { Finding, Unwalked } from '../../../schema/types';
import { inLanguage } from '.';
import { ago } from './format';
import { sideNames, type Sides } from './place';
import { findings as findingsEn, type About, type DescribeFinding } from './en/findings';
import { briefing as briefingEn } from './en/briefing';
import { findings as findingsEs } from './es/findings';
import { briefing as briefingEs } from './es/briefing';

export const english = { briefing: briefingEn, findings: findingsEn };
export const spanish = { briefing: briefingEs, findings: findingsEs } satisfies typeof english;

export const briefingWords = inLanguage(english, spanish);

/** A finding as a sentence. One that this version has no words for (the server may be newer) is reported, not hidden. */
export function describeFinding(finding: Finding, about: About): string {
  const says: { [code: string]: DescribeFinding | undefined } = briefingWords.value.findings;
  const said = says[finding.code]?.(finding, about) ?? briefingWords.value.briefing.laterFinding;
  return finding.seen_at ? briefingWords.value.briefing.seenAt(said, ago(finding.seen_at)) : said;
}

/** The stretch that nobody looked at, which a phone finds by itself, before the server says it. */
export function describeUnwalked({ side, ...rows }: Unwalked, bed: Sides): string {
  const about: About = { lot: '', entryEnd: '', farEnd: '', ...sideNames(bed), size: String };
  const end = side === undefined ? {} : { end: `${side}_side` };
  return describeFinding({ code: 'unwalked', attention: true, numbers: { ...rows }, ...end }, about);
}
