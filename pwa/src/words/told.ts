/** The words for what the server tells phones, findings among them: both languages come with the screens that show it. */
import type { Finding, Unwalked } from '../../../schema/types';
import { inLanguage } from '.';
import { ago } from './format';
import { findings as findingsEn, type About, type Say } from './en/findings';
import { told as toldEn } from './en/told';
import { findings as findingsEs } from './es/findings';
import { told as toldEs } from './es/told';

export const english = { told: toldEn, findings: findingsEn };
export const spanish = { told: toldEs, findings: findingsEs } satisfies typeof english;

export const briefingWords = inLanguage(english, spanish);

/** A finding as a sentence. One that this version has no words for (the server may be newer) is named, not hidden. */
export function findingSaid(finding: Finding, about: About): string {
  const says: { [code: string]: Say | undefined } = briefingWords.value.findings;
  const said = says[finding.code]?.(finding, about) ?? finding.code;
  return finding.seen_at ? briefingWords.value.told.seenAt(said, ago(finding.seen_at)) : said;
}

/** The stretch that nobody looked at, which a phone finds by itself, before the server says it. */
export function unwalkedSaid(rows: Unwalked): string {
  const about: About = { lot: '', entryEnd: '', farEnd: '', size: String };
  return findingSaid({ code: 'unwalked', attention: true, numbers: { ...rows } }, about);
}
