/** What sync/bed found, said the way one grower says it to another. The codes and their numbers: sync/bed/codes.go. */
import type { Finding } from '../../../../schema/types';
import { distance, number, percent, points } from '../format';
import { counter } from '../plural';

/** The names that a sentence needs and a finding does not carry. */
export interface About {
  /** A lot as the crew calls it; "" where the finding is about the whole bed. */
  lot: string;
  entryEnd: string;
  farEnd: string;
  /** What the crew call the long sides, where that is known. */
  nearSide?: string | undefined;
  farSide?: string | undefined;
  /** Writes a size of the finding's trait: a head in the person's unit, or a count of buds. */
  size: (value: number) => string;
}

export type DescribeFinding = (finding: Finding, about: About) => string;

const pots = counter('en', { one: 'pot', other: 'pots' });
const values = counter('en', { one: 'value looks', other: 'values look' });
const far = counter('en', { one: 'value is', other: 'values are' });

const at = (finding: Finding, name: string) => finding.numbers[name] ?? 0;
const isBuds = (finding: Finding) => finding.trait === 'buds';
const trait = (finding: Finding) => (isBuds(finding) ? 'Bud counts' : 'Heads');
const inLot = (about: About) => (about.lot === '' ? '' : ` in lot ${about.lot}`);
/** The one lot that shows a flag: the pots it is counted among are the whole bed's, not that lot's alone. */
const onlyIn = (about: About) => (about.lot === '' ? '' : `, only in lot ${about.lot}`);
const end = (finding: Finding, about: About) => (finding.end === 'far' ? about.farEnd : about.entryEnd);
const shrink = (finding: Finding) => (isBuds(finding) ? 'fall' : 'shrink');
const lesser = (finding: Finding) => (isBuds(finding) ? 'lower' : 'smaller');
const greater = (finding: Finding) => (isBuds(finding) ? 'higher' : 'larger');
const metres = (finding: Finding, name: string) => distance(at(finding, name) * 1000);
const flag = ({ trait: name }: Finding) =>
  name === 'rot' ? 'Root rot' : name === 'disease' ? 'Suspected disease' : 'Chlorosis';
const longSide = (isFar: boolean, { nearSide, farSide }: About) =>
  isFar ? (farSide ?? 'far side') : (nearSide ?? 'near side');
const border = (finding: Finding, about: About) => {
  if (finding.end?.endsWith('_side')) return longSide(finding.end === 'far_side', about);
  return `${end(finding, about)} end`;
};
const bounds = (finding: Finding) => `${points(at(finding, 'low'))} to ${percent(at(finding, 'high'))}`;

const together = (what: string, remedy: string) => (finding: Finding) =>
  `${what} on ${at(finding, 'x')} of ${pots(at(finding, 'n'))}, close together ${metres(finding, 'from_m')} to ${metres(finding, 'to_m')} from the entry end. ${remedy}`;

export const findings = {
  gradient: (finding, about) =>
    `${trait(finding)} ${shrink(finding)} toward the ${end(finding, about)} end, about ${percent(at(finding, 'per_5m'))} every ${distance(5000)}; ${percent(at(finding, 'total'))} over the bed.`,
  across: (finding, about) =>
    `${trait(finding)} ${shrink(finding)} toward the ${longSide(finding.end === 'far', about)}, by ${percent(at(finding, 'total'))} over the bed’s width.`,
  edge: (finding) =>
    `${trait(finding)} are ${percent(Math.abs(at(finding, 'difference')))} ${at(finding, 'difference') < 0 ? lesser(finding) : greater(finding)} at the aisle than inside (${pots(at(finding, 'edge_n'))} at the edge).`,
  patch: (finding) =>
    `Pots with a similar ${isBuds(finding) ? 'bud count' : 'head size'} are close together: look for a patch.`,
  patch_rot: together('Root rot', 'Check water and drainage there.'),
  patch_chlorosis: together('Chlorosis', 'Check that stretch first.'),
  patch_disease: together('Disease suspected', 'Leave that stretch alone: do not move or dump pots.'),
  flag_gradient: (finding, about) =>
    `${flag(finding)} is more common toward the ${end(finding, about)} end: ${percent(at(finding, 'there'))} in that half, ${percent(at(finding, 'other'))} in the other.`,
  flag_across: (finding, about) =>
    `${flag(finding)} is more common toward the ${longSide(finding.end === 'far', about)}: ${percent(at(finding, 'there'))} in that half, ${percent(at(finding, 'other'))} in the other.`,
  flag_edge: (finding, about) =>
    `${flag(finding)} is more common at the ${border(finding, about)}: ${at(finding, 'x')} of ${pots(at(finding, 'side_n'))} there (${percent(at(finding, 'there'))}), ${percent(at(finding, 'other'))} elsewhere.`,
  clumped: () => 'Bud counts vary more from pot to pot than chance alone explains.',
  two_groups: (finding, about) =>
    `${trait(finding)}${inLot(about)} fall into two groups: about ${about.size(at(finding, 'low'))} (${pots(at(finding, 'low_n'))}) and ${about.size(at(finding, 'high'))} (${pots(at(finding, 'high_n'))}).`,
  rot: (finding, about) =>
    `Root rot in ${at(finding, 'x')} of ${pots(at(finding, 'n'))} (${bounds(finding)})${onlyIn(about)}. Check more pots there, and send roots to a lab before treating.`,
  chlorosis: (finding, about) =>
    `Chlorosis on ${at(finding, 'x')} of ${pots(at(finding, 'n'))} (${bounds(finding)})${onlyIn(about)}.`,
  disease: (finding, about) =>
    `Disease suspected on ${at(finding, 'x')} of ${pots(at(finding, 'n'))}${onlyIn(about)}. Leave them alone: do not move or dump them.`,
  between_lots: (finding) =>
    `${percent(at(finding, 'share'))} of the spread in head size is between the ${number(at(finding, 'lots'))} lots: judge each lot separately.`,
  holds_back: (finding) =>
    `${isBuds(finding) ? 'Bud count' : 'Head size'} holds the bed back: uniformity ${points(at(finding, 'uniformity'))}, against ${points(at(finding, 'other'))} for ${isBuds(finding) ? 'head size' : 'bud count'}.`,
  disagree: (finding, about) =>
    `${trait(finding)}${inLot(about)}: from the spread, ${percent(at(finding, 'expected'))} of pots should be near the mean, but ${percent(at(finding, 'counted'))} were. Look at the dots.`,
  edge_bias: (finding) =>
    `${percent(at(finding, 'seen'))} of the pots checked are at the edge, but only ${percent(at(finding, 'bed'))} of the bed is. Check more from the inside.`,
  unwalked: (finding, about) =>
    `Rows ${number(at(finding, 'from_row'))} to ${number(at(finding, 'to_row'))} were not checked${finding.end ? ` from the ${border(finding, about)}` : ''} (${percent(at(finding, 'share'))} of the bed). The other findings cover only the ${finding.end ? 'part' : 'rows'} that ${finding.end ? 'was' : 'were'} checked.`,
  slips: (finding) => {
    // A server of an earlier version does not tell the two apart.
    const mistyped = at(finding, 'mistyped');
    if (mistyped > 0) return `${values(mistyped)} mistyped: wrong unit, decimal point or digit. Check those pots.`;
    return `${far(at(finding, 'x'))} far from the rest of the lot. A true runt looks the same.`;
  },
} satisfies { [code: string]: DescribeFinding };
