import type { Finding } from '../../../../schema/types';
import type { About, findings as english, DescribeFinding } from '../en/findings';
import { distance, number, percent, points } from '../format';
import { counter } from '../plural';

const pots = counter('es', { one: 'maceta', other: 'macetas' });
const values = counter('es', { one: 'medida parece mal escrita', other: 'medidas parecen mal escritas' });
const far = counter('es', { one: 'medida está', other: 'medidas están' });

const at = (finding: Finding, name: string) => finding.numbers[name] ?? 0;
const isBuds = (finding: Finding) => finding.trait === 'buds';
const trait = (finding: Finding) => (isBuds(finding) ? 'Los botones' : 'Las copas');
const inLot = (about: About) => (about.lot === '' ? '' : ` en el lote ${about.lot}`);
const onlyIn = (about: About) => (about.lot === '' ? '' : `, solo en el lote ${about.lot}`);
const end = (finding: Finding, about: About) => (finding.end === 'far' ? about.farEnd : about.entryEnd);
const shrink = (finding: Finding) => (isBuds(finding) ? 'bajan' : 'se achican');
const metres = (finding: Finding, name: string) => distance(at(finding, name) * 1000);
const flag = ({ trait: name }: Finding) =>
  name === 'rot' ? 'La pudrición de raíz' : name === 'disease' ? 'La posible enfermedad' : 'La clorosis';
const sideName = (name: string | undefined, otherwise: string) => {
  if (name === undefined) return otherwise;
  return /^lado\b/i.test(name) ? `el ${name}` : `el lado «${name}»`;
};
const longSide = (isFar: boolean, { nearSide, farSide }: About) =>
  isFar ? sideName(farSide, 'el lado lejano') : sideName(nearSide, 'el lado cercano');
const border = (finding: Finding, about: About) => {
  if (finding.end?.endsWith('_side')) return longSide(finding.end === 'far_side', about);
  return `el extremo «${end(finding, about)}»`;
};
const bounds = (finding: Finding) => `${points(at(finding, 'low'))} a ${percent(at(finding, 'high'))}`;

const together = (what: string, remedy: string) => (finding: Finding) =>
  `${what} en ${at(finding, 'x')} de ${pots(at(finding, 'n'))}, juntas de ${metres(finding, 'from_m')} a ${metres(finding, 'to_m')} desde la entrada. ${remedy}`;

export const findings = {
  gradient: (finding, about) =>
    `${trait(finding)} ${shrink(finding)} hacia el extremo «${end(finding, about)}», cerca de ${percent(at(finding, 'per_5m'))} cada ${distance(5000)}; ${percent(at(finding, 'total'))} en toda la cama.`,
  across: (finding, about) =>
    `${trait(finding)} ${shrink(finding)} hacia ${longSide(finding.end === 'far', about)}, ${percent(at(finding, 'total'))} a lo ancho de la cama.`,
  edge: (finding) =>
    `${trait(finding)} de la orilla son ${percent(Math.abs(at(finding, 'difference')))} ${at(finding, 'difference') < 0 ? (isBuds(finding) ? 'menos' : 'más chicas') : isBuds(finding) ? 'más' : 'más grandes'} que adentro (${pots(at(finding, 'edge_n'))} en la orilla).`,
  patch: (finding) =>
    `Las macetas con ${isBuds(finding) ? 'botones parecidos' : 'copas parecidas'} están juntas: busque un manchón en la cama.`,
  patch_rot: together('Pudrición de raíz', 'Revise allí el riego y el drenaje.'),
  patch_chlorosis: together('Clorosis', 'Revise primero ese tramo.'),
  patch_disease: together('Posible enfermedad', 'No toque ese tramo: no mueva ni tire macetas.'),
  flag_gradient: (finding, about) =>
    `${flag(finding)} es más frecuente hacia el extremo «${end(finding, about)}»: ${percent(at(finding, 'there'))} en esa mitad, ${percent(at(finding, 'other'))} en la otra.`,
  flag_across: (finding, about) =>
    `${flag(finding)} es más frecuente hacia ${longSide(finding.end === 'far', about)}: ${percent(at(finding, 'there'))} en esa mitad, ${percent(at(finding, 'other'))} en la otra.`,
  flag_edge: (finding, about) =>
    `${flag(finding)} es más frecuente en ${border(finding, about)}: ${at(finding, 'x')} de ${pots(at(finding, 'side_n'))} allí (${percent(at(finding, 'there'))}), ${percent(at(finding, 'other'))} en lo demás.`,
  clumped: () => 'Los botones varían de maceta a maceta más de lo que explica el azar.',
  two_groups: (finding, about) =>
    `${trait(finding)}${inLot(about)} forman dos grupos: cerca de ${about.size(at(finding, 'low'))} (${pots(at(finding, 'low_n'))}) y ${about.size(at(finding, 'high'))} (${pots(at(finding, 'high_n'))}).`,
  rot: (finding, about) =>
    `Pudrición de raíz en ${at(finding, 'x')} de ${pots(at(finding, 'n'))} (${bounds(finding)})${onlyIn(about)}. Revise más macetas allí y envíe raíces al laboratorio antes de tratar.`,
  chlorosis: (finding, about) =>
    `Clorosis en ${at(finding, 'x')} de ${pots(at(finding, 'n'))} (${bounds(finding)})${onlyIn(about)}.`,
  disease: (finding, about) =>
    `Posible enfermedad en ${at(finding, 'x')} de ${pots(at(finding, 'n'))}${onlyIn(about)}. No las toque: no las mueva ni las tire.`,
  between_lots: (finding) =>
    `${percent(at(finding, 'share'))} de la variación del tamaño de copa está entre los ${number(at(finding, 'lots'))} lotes: evalúelos por separado.`,
  holds_back: (finding) =>
    `Lo más disparejo ${isBuds(finding) ? 'son los botones' : 'es la copa'}: uniformidad ${points(at(finding, 'uniformity'))}, contra ${points(at(finding, 'other'))} de ${isBuds(finding) ? 'la copa' : 'los botones'}.`,
  disagree: (finding, about) =>
    `${trait(finding)}${inLot(about)}: por la variación, ${percent(at(finding, 'expected'))} de las macetas deberían estar cerca del promedio, pero fueron ${percent(at(finding, 'counted'))}. Vea los puntos.`,
  edge_bias: (finding) =>
    `${percent(at(finding, 'seen'))} de las macetas revisadas están en la orilla, pero en la cama son solo ${percent(at(finding, 'bed'))}. Revise más de adentro.`,
  unwalked: (finding, about) =>
    `No se revisaron las hileras ${number(at(finding, 'from_row'))} a ${number(at(finding, 'to_row'))}${finding.end ? ` desde ${border(finding, about)}` : ''} (${percent(at(finding, 'share'))} de la cama). Los demás resultados son solo de ${finding.end ? 'la parte revisada' : 'las hileras revisadas'}.`,
  slips: (finding) => {
    // A server of an earlier version does not tell the two apart.
    const mistyped = at(finding, 'mistyped');
    if (mistyped > 0) return `${values(mistyped)}: unidad, punto decimal o dígito. Revise esas macetas.`;
    return `${far(at(finding, 'x'))} muy lejos de las demás del mismo lote. También puede ser una maceta que de verdad es chica.`;
  },
} satisfies { [code in keyof typeof english]: DescribeFinding };
