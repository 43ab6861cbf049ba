import { counter, form } from '../plural';
import type { supply as english } from '../en/supply';

const lots = counter('es', { one: 'lote', other: 'lotes' });
const pots = counter('es', { one: 'maceta', other: 'macetas' });
const weeks = counter('es', { one: 'semana de embarque', other: 'semanas de embarque' });
const bookings = counter('es', { one: 'apartado', other: 'apartados' });

export const supply: typeof english = {
  title: 'Oferta por semana de embarque',
  parts: 'Partes del plan',
  toLots: 'Calendario',
  toWeeks: 'Embarques',
  toWork: 'Trabajo',
  toTomorrow: 'Qué camas siguen',
  toCooler: 'Cuarto frío',
  toRight: 'Qué tanto acertó',
  toRoutes: 'Dos rutas',
  toLog: 'Aplicaciones',
  intro:
    'Lo que habrá en cada semana de embarque y lo que ya está apartado. «Se puede prometer» es lo que queda además de los apartados: con sus duraciones y recorridos, hay menos macetas que eso en 1 de cada 20 casos como mucho. Cada número vale mientras no se prometa nada más. Los apartados se cumplen en el orden en que se anotaron: lo seguro de uno deja a cada anterior lo que tenía seguro.',
  differs:
    'La página del lote descuenta las mismas pérdidas, pero da por hecho que el lote va a estar listo a tiempo y que sus macetas siguen en el grado que vio el último recorrido. Aquí cuenta si va a estar listo y si la temporada es buena o mala para sus grados; por eso los números no son iguales. A lo que la semana puede prometer se le quita todo lo apartado; de un lote o una variedad se puede prometer lo que un apartado más tendría seguro.',
  assumes: (season) =>
    `Se supone, sin fuente: los lotes de una misma variedad tienen juntos buenas y malas temporadas (en dos de cada tres, de una mitad en grado quedan ${season}; cámbielo en Cultivos), y una primavera cálida o fría adelanta o atrasa a todos los lotes a la vez (en 19 de cada 20 primaveras, menos de 10\u202f% de los días que faltan). Lo que pierde un lote se aparta de lo esperado, según el lote y la temporada: si en promedio se pierden 5 de 100, de 3 a 9 en nueve de cada diez lotes.`,
  empty: 'Ningún lote tiene semana de embarque. Póngala en la página del lote.',
  count: (all, over) =>
    over === 0 ? `${weeks(all)}, todos los apartados seguros` : `${weeks(all)}, ${over} con apartados no seguros`,
  overOnly: 'solo semanas con apartados no seguros',
  risk: { over: 'Apartadas de más', likely: 'Es probable que falten', may: 'Podrían faltar' },
  beside: 'Lo que aquí todavía se puede prometer es de lotes, variedades o grados que estos apartados no toman.',
  noneMatch: 'Ninguna semana coincide. Elija otros filtros.',
  kind: (week, crop, pot) => `${week}: ${crop}, ${pot}`,
  undecided: (missing) => `De ${pots(missing)} apartadas todavía no se puede decir nada: recorra esos lotes.`,
  noGrades: 'No hay grados para este tamaño de maceta, así que no se puede decir nada. Póngalos en Cultivos.',
  lotsKnown: (known, all) =>
    known === all
      ? `${lots(all)}, cuentan todos`
      : `cuentan ${known} de ${lots(all)}; de los demás todavía no se sabe nada`,
  table: {
    grade: 'Grado',
    expected: 'Probable',
    booked: 'Apartadas',
    safe: 'Se puede prometer',
    short: 'Que no alcancen',
  },
  line: {
    week: 'Semana de embarque',
    expected: 'Probable, de cualquier grado',
    others: 'Las demás semanas',
    kind: (crop, pot) => `${crop}, ${pot}`,
    safe: (all, best) => `${all}, de ellas ${best}`,
    missing: (missing) => `${pots(missing)} no ${form('es', missing, { one: 'segura', other: 'seguras' })}`,
  },
  orBetter: (grade) => `${grade} o mejor`,
  between: (expected, low, high) => `${expected}\u00a0(${low}\u00a0a\u00a0${high})`,
  sureTitle: 'Qué tan seguro',
  sureOf: (grade, sure, average) => `${grade}: ${sure} seguras antes de los apartados, ${average} en promedio.`,
  alone: (alone) => `Prometiendo lote por lote serían ${alone}.`,
  unknown: 'no se sabe todavía',
  atMost: (chance) => `a lo más ${chance}`,
  moreNotSure: (count) => (count === 1 ? 'Otro apartado no seguro' : `Otros ${count} apartados no seguros`),
  open: (count, booked) => `${lots(count)}, ${bookings(booked)}`,
  lotsTitle: 'Lotes',
  bookingsTitle: 'Apartados',
  basis: {
    walk: (seen, whole, all, on, scouts) =>
      `Se pudo dar grado a ${whole} de ${pots(seen)} vistas, ${pots(all)} en registro; recorrido del ${on}${scouts === '' ? '' : `, ${scouts}`}.`,
    earlier: (count) => `Según ${lots(count)} que ya se embarcaron; de este no se ha visto ninguna maceta.`,
    unknown:
      'No se sabe todavía: no hay recorrido terminado desde que se puede dar grado, o se dio grado a muy pocas macetas. Cuenta como nada.',
    uncounted: 'Un tramo no está contado. Cuente primero sus macetas. Cuenta como nada.',
    ledger: 'Hay menos macetas en registro que las vistas. Haga un reconteo. Cuenta como nada.',
    no_dates: 'No se puede decir cuándo estará listo. Cuenta como nada.',
  },
  ready: (chance) => `Listo a tiempo: ${chance}.`,
  notSafe: (week) => `Menos de 19 en 20 de estar listo: por sí solo no sirve aquí. Seguro desde ${week}.`,
  notSafeEver: 'Menos de 19 en 20 de estar listo: por sí solo no sirve aquí.',
  left: (share) => `Para entonces queda el ${share} de sus macetas, según sus pérdidas hasta hoy.`,
  leftStages: (share) =>
    `Para entonces queda el ${share} de sus macetas, según lo que usted escribió de sus etapas por venir.`,
  leftCrop: (share) => `Para entonces queda el ${share} de sus macetas, según lo esperado para el cultivo.`,
  sure: (list) => `Seguras por sí solo: ${list}.`,
  safeOf: (list) => `De él todavía se puede prometer: ${list}.`,
  leans: (count) => `Apartados que no nombran lote necesitan ${pots(count)} de él.`,
  cultivarsTitle: 'Por variedad',
  cultivar: (name, safe, sure) =>
    `${name}. Todavía se puede prometer: ${safe}. Seguras antes de los apartados: ${sure}.`,
  anyOf: (what) => `cualquier lote de ${what}`,
  tryWeek: 'Probar otra semana',
  tryWeekOf: (lot) => `Probar otra semana para ${lot}`,
  gradeSure: (count, grade) => `${count} ${grade}`,
  booking: (buyer, count, grade, lot) => `${buyer}: ${pots(count)}, ${grade}, de ${lot}.`,
  noBuyer: 'sin comprador',
  noGrade: 'sin grado',
  noLot: 'sin lote',
  met: 'Se puede cumplir.',
  why: {
    few: (missing) => `No seguras: ${pots(missing)}.`,
    not_ready: (missing) => `No seguras: ${pots(missing)}; un lote quizá no esté listo.`,
    earlier: (missing) => `No seguras: ${pots(missing)}; quizá las necesiten apartados anteriores.`,
    unknown: (missing) => `${pots(missing)}: todavía no se puede decir.`,
    stock: (missing) => `${pots(missing)} no se pueden cumplir: el lote se guarda para esquejes y no se vende.`,
    week: (missing) => `${pots(missing)} no se pueden cumplir: el lote no está en esta semana.`,
    none: (missing) => `${pots(missing)} no se pueden cumplir: ningún lote de esta semana es de esa clase.`,
  },
  shortOf: (chance) => `Que no se cumpla completo: ${chance}.`,
  elsewhere: (count) => `Si puede servirlo cualquier lote de esta semana, se cumplen además ${pots(count)}.`,
  otherWeek: (week) => `El lote se embarca en ${week}.`,
  lotNoWeek: 'El lote no tiene semana de embarque.',
  closedTitle: (count) => `Apartados de cualquier lote, ya embarcados o cancelados: ${count}`,
  unplacedTitle: 'Apartados sin semana',
  unplaced:
    'No dicen la semana y su lote tampoco la tiene, su lote no está aquí, o no nombran ni lote ni cultivo y tamaño de maceta. Ponga lo que falta.',
  sheet: {
    title: 'Traer una hoja de apartados',
    intro:
      'Una fila por apartado: comprador, macetas y grado; la etiqueta del lote, o cultivo, tamaño de maceta y semana de embarque, con la variedad si solo sirve una. El precio y el número de pedido pueden faltar. La primera fila nombra las columnas, en cualquier orden. Nada se aparta dos veces.',
    row: (buyer, count, grade, of, week) => `${[buyer, pots(count), grade, of, week].filter(Boolean).join(', ')}.`,
    there: 'Ya está apartado: queda como está.',
    noPots: 'Sin macetas. Escriba al menos 1 o quite la fila.',
    past: (week) => `La ${week} ya pasó. Escriba esta semana o una posterior.`,
    grade: (grade, known) =>
      grade === ''
        ? `Falta el grado. Escriba uno de ${known}.`
        : `Aquí ningún grado se llama «${grade}». Escriba uno de ${known}.`,
    lot: (tag, found) =>
      found === 0
        ? `Ningún lote tiene la etiqueta ${tag}. Corríjala, o escriba cultivo, tamaño de maceta y semana de embarque.`
        : `${lots(found)} tienen la etiqueta ${tag}. Apártelo en la página del lote.`,
    notForSale: (tag) =>
      `El lote ${tag} ya se embarcó o se guarda para esquejes. Aparte de otro lote, o de cualquier lote de su cultivo.`,
    crop: (crop, known) =>
      crop === ''
        ? `Sin lote y sin cultivo. Escriba la etiqueta de un lote, o uno de ${known}.`
        : `Aquí ningún cultivo se llama «${crop}». Escriba uno de ${known}.`,
    cultivar: (name, known) => `Aquí ninguna variedad se llama «${name}». Escriba una de ${known}, o déjela vacía.`,
    size: (crop, known) => `Ningún lote ni grado de ${crop} tiene este tamaño de maceta. Escriba uno de ${known}.`,
    sum: (count: number) => `Nuevos: ${bookings(count)}.`,
    booking: 'Apartado',
    save: (count) => `Registrar ${bookings(count)}`,
    saved: (count) => `${bookings(count)} en registro.`,
  },
};
