import { counter } from '../plural';
import type { plan as english } from '../en/plan';

const lots = counter('es', { one: 'lote', other: 'lotes' });
const days = counter('es', { one: 'día', other: 'días' });
const lengths = counter('es', { one: 'duración', other: 'duraciones' });

export const plan: typeof english = {
  title: 'Plan',
  intro:
    'Una línea por lote, primero el que se embarca antes. Relleno: hecho. Punteado: lo que falta. Rayado: cuándo estará listo; 8 de cada 10 lotes así caen dentro. Barra vertical: el día en que debe estar listo. Triángulo: el último día para su siguiente paso.',
  emptyTitle: 'No hay lotes que planear',
  empty: 'Aquí aparecen los lotes que no se han embarcado. Los monitoreadores pueden agregar un lote en el teléfono.',
  count: (all, late) => (late === 0 ? `${lots(all)}, ninguno atrasado` : `${lots(all)}, ${late} con un paso atrasado`),
  lateOnly: 'solo los atrasados o que probablemente no llegan a su semana',
  noneMatch: 'Ningún lote coincide. Elija otros filtros.',
  makesIt: 'A tiempo',
  noWeek: 'sin semana de embarque',
  week: (week) => `se embarca ${week}`,
  lateShort: (late) => `atrasado ${days(late)}`,
  drawing: (name, ready) => `${name}: ${ready}`,
  close: 'Cerrar',
  openLot: 'Abrir el lote',
  noneOwn:
    'Todas las duraciones de las etapas son todavía las que trae Bedwalk. Ponga las suyas en Cultivos: de ellas salen todas las fechas de aquí.',
  toCrops: 'Duración de las etapas en Cultivos',

  step: {
    stuck: 'esqueje puesto',
    into_liner: 'a la primera maceta',
    into_small_pot: 'a la maceta chica',
    into_finished_pot: 'a la maceta final',
    last_pinch: 'último despunte o recorte',
    regulator: 'regulador de crecimiento',
    into_cooler: 'al cuarto frío',
    into_forcing: 'a forzado',
    ready: 'listo',
  },
  stage: {
    root: 'enraizado',
    liner: 'primera maceta',
    small_pot: 'maceta chica',
    finished_pot: 'maceta final',
    grow_out: 'crecimiento',
    bud_set: 'formación de botones',
    cold: 'frío',
    forcing: 'forzado',
  },
  stageMeans: {
    root: 'Desde que se pone el esqueje hasta la primera maceta.',
    liner: 'De la primera maceta a la siguiente.',
    small_pot: 'De la maceta chica a la maceta final.',
    finished_pot: 'De la maceta final al último despunte o recorte.',
    grow_out: 'Del último despunte o recorte al regulador de crecimiento, o al cuarto frío si no se usa regulador.',
    bud_set: 'Del regulador de crecimiento a los botones maduros.',
    cold: 'En el cuarto frío. Nunca entre solo, y sepa dónde están la alarma y la salida.',
    forcing: 'Del cuarto frío hasta estar listo para la venta.',
  },

  lotTitle: 'Lo que falta',
  late: (step, ago, latest) => `Atrasado: el último día para «${step}» fue hace ${days(ago)}, el ${latest}.`,
  slow: (step, after, latest) =>
    `El paso «${step}» probablemente llegará ${days(after)} después de su último día, el ${latest}.`,
  ready: (likely, from, to) =>
    `Listo probablemente el ${likely}. De cada 10 lotes así, 8 están listos entre el ${from} y el ${to}.`,
  readyOpen: (likely, from) =>
    `Listo probablemente el ${likely}, no antes de cerca del ${from}. Cuánto se puede atrasar es demasiado incierto.`,
  readyUnknown: 'Cuándo estará listo es demasiado incierto.',
  readyPast: (likely) => `Según estas duraciones, probablemente quedó listo el ${likely}.`,
  inTime: (week, by, chance) => `Para ${week} debe estar listo el ${by}: ${chance}.`,
  chance: (tenths) =>
    tenths === 0
      ? 'menos de 1 de cada 10 llega'
      : tenths === 10
        ? 'más de 9 de cada 10 llegan'
        : tenths === 1
          ? 'cerca de 1 de cada 10 llega'
          : `cerca de ${tenths} de cada 10 llegan`,
  chanceShort: (tenths) => (tenths === 0 ? 'menos de 1 de 10' : tenths === 10 ? 'más de 9 de 10' : `${tenths} de 10`),
  problem: {
    no_stages: (crop) => `No se conocen las etapas de ${crop}. Póngalas en Cultivos.`,
    start_unknown:
      'No se conoce el día de ningún paso de este lote. ¿Cuándo se puso el esqueje o se enmacetó? Anote el día en la página del lote, en «Lo que se sabe».',
    shipped: 'Este lote ya se embarcó.',
    stock: 'Este lote se guarda para esquejes y no se vende, así que no va a ninguna semana de embarque.',
  },
  notOwn: (notOwn, all) =>
    all === 1
      ? 'La duración de la etapa que falta no es suya.'
      : notOwn === all
        ? `Ninguna de las ${lengths(all)} que faltan es suya.`
        : `${notOwn} de las ${lengths(all)} que faltan no ${notOwn === 1 ? 'es suya' : 'son suyas'}.`,
  allOwn: 'Todas las duraciones que faltan son suyas.',

  gate: {
    title: 'Lo que debe verse antes del siguiente paso',
    root_cover: (least) => `raíz en ${least} o más`,
    root_life: (least) => `vida de raíz ${least} o más`,
    head_mm: (least) => `copa de ${least} o más`,
    buds: (least) => `${least} botones o más`,
    before: 'Lo que debe verse antes de que termine',
    nothing: 'nada',
    lines: {
      root_cover: 'raíz que cubre (0 a 5)',
      root_life: 'vida de raíz (1 a 5)',
      head_mm: 'tamaño de copa',
      buds: 'botones',
      buds_ready: 'botones listos, anotados por una persona',
    },
    atLeast: 'por lo menos',
    atLeastIn: (unit) => `por lo menos, ${unit}`,
    share: 'en tantas macetas, %',
    asks: (share, line) => `El ${share} de las macetas debe tener ${line}.`,
    seen: (met, looked, standing, low, high) =>
      `${met} de ${looked} macetas lo tienen: del ${low} al ${high} de las ${standing}.`,
    walk: (on, scouts) => (scouts === '' ? `Recorrido del ${on}.` : `Recorrido del ${on}, ${scouts}.`),
    state: {
      open: 'Lo tienen suficientes macetas.',
      not_yet: 'Todavía no: lo tienen muy pocas macetas.',
      unsure: 'No es seguro: revise más macetas.',
      stale: 'El último recorrido tiene más de dos semanas. Revise otra vez.',
      not_looked_at: 'Nadie ha revisado desde que empezó esta etapa.',
    },
    unwalked: 'No es seguro: el lote está también en una cama sin recorrido terminado.',
    closedUntil: (until) =>
      `Por eso el plan no cuenta con el siguiente paso antes del ${until} (la mitad de dos semanas después del recorrido).`,
    budsReady: (on) => `Botones listos para el cuarto frío, vistos el ${on}.`,
    budsNot:
      'Nadie ha anotado que los botones estén listos para el cuarto frío. Revíselos primero y anótelo como trabajo hecho.',
    short: {
      open: 'suficientes',
      not_yet: 'todavía no',
      unsure: 'no es seguro',
      stale: 'recorrido viejo',
      not_looked_at: 'sin revisar',
    },
    shortSeen: (met, looked, state) => `${met} de ${looked} macetas: ${state}`,
    shortBuds: (state) => `botones: ${state}`,
  },
  table: { step: 'Paso', when: 'Hecho, o probable', latest: 'Último día', rests: 'Se basa en' },
  dayUnknown: 'hecho, no se sabe el día',
  between: (likely, from, to) => `${likely} (${from} a ${to})`,
  openEnd: (likely, from) => `${likely} (desde ${from})`,
  tooUncertain: 'demasiado incierto',
  others: (on) => `también anotado para el ${on}`,
  byBed: 'se sabe por su cama',
  outOfOrder: 'Anotado para un día anterior al paso de antes. Revise los dos días.',
  notNoted: 'Todavía no está anotado: cuenta como no hecho.',
  planned: (on) => `planeado para el ${on}`,
  plannedFree: (on, why) => `planeado para el ${on}, cuando nadie trabaja (${why}): cuenta el siguiente día hábil`,
  moved: (from, to, why) => `${from} → ${to}: ${why}.`,
  weekend: 'fin de semana',
  latestBoth: (likely, safe) => `${likely} para que lleguen 5 de 10, ${safe} para 9 de 10`,
  latestOne: (likely) => `${likely} para que lleguen 5 de 10`,
  lengthOf: (stage, quick, middle, slow) =>
    quick === slow ? `${stage}: ${days(slow)}` : `${stage}: de ${quick} a ${days(slow)}; el de en medio, ${middle}`,
  standing: {
    own: 'suya',
    published: 'publicada',
    practice: 'práctica común, sin fuente',
    memory: 'de memoria, sin comprobar',
    walks: 'según crecen sus copas en los recorridos',
  },
  ownFor: {
    cultivar: 'suya, para esta variedad',
    size: 'suya, para este tamaño de maceta',
    crop: 'suya, para el cultivo',
  },
  source: (standing, source) => `${standing}: ${source}`,

  edit: 'Probar otros días u otra semana',
  editIntro:
    'Un paso planeado no cuenta antes de su día. Deje el día vacío para que salga de las duraciones. No se anota nada hasta que lo acepte.',
  plannedDay: (step) => `Planeado: ${step}`,
  shipWeek: 'Semana de embarque',
  noShipWeek: 'ninguna',
  past: 'Ese día ya pasó. Anote el paso como hecho o elija un día posterior.',
  tryIt: 'Probar',
  needsServer: 'Para probar se necesita el servidor. Los días planeados se pueden aceptar sin él.',
  save: 'Aceptar',
  cancel: 'Dejarlo como está',
  saved: (what) => `Aceptado en el plan: ${what}.`,
  tried: {
    title: 'Cómo quedaría',
    what: 'Qué',
    now: 'Como está',
    would: 'Probado',
    ready: 'Probablemente listo',
    booking: 'Este apartado',
    inTime: 'Listo a tiempo',
    latest: (step) => `Último día: ${step}`,
    safe: (week, grade) => `${week}: se puede prometer, ${grade}`,
    missing: (week) => `${week}: macetas apartadas que no son seguras`,
    undecided: (week) => `${week}: macetas apartadas de lotes que no se conocen`,
    none: '–',
    old: 'Los campos cambiaron después. Pruebe otra vez.',
    whyNone: 'Por qué no se puede prometer nada',
    allBooked: (sure) => `Los apartados toman las ${sure} macetas que son seguras.`,
    noneSure: 'De los lotes que estarán listos, ninguna maceta es segura para un grado.',
  },

  stagesTitle: 'Cuánto dura cada etapa',
  stagesIntro:
    'Piense en diez lotes: ¿cuántos días tardó el más rápido, el de en medio y el más lento? De ahí salen las fechas del plan. Deje los tres vacíos para volver a lo que trae Bedwalk, si trae algo.',
  quickest: 'el más rápido',
  middle: 'el de en medio',
  slowest: 'el más lento',
  ofTen: (stage, which) => `${stage}, ${which} de diez, en días`,
  now: (quick, middle, slow) => `Ahora ${quick}, ${middle} y ${days(slow)}`,
  none: 'Sin valor, y Bedwalk no trae ninguno: los lotes de este cultivo se saltan la etapa.',
  allThree: (stage) => `${stage}: ponga los tres números o ninguno.`,
  gateDays: (stage) => `${stage}: ponga también sus tres números de días. Lo que debe verse se guarda junto con ellos.`,
  order: (stage) => `${stage}: el más rápido no puede pasar del de en medio, ni el de en medio del más lento.`,
};
