import { counter, form, stop } from '../plural';
import type { crops as english } from '../en/crops';

const grades = counter('es', { one: 'grado', other: 'grados' });
const lots = counter('es', { one: 'lote', other: 'lotes' });
const changes = counter('es', { one: 'cambio', other: 'cambios' });

export const crops = {
  title: 'Cultivos',
  lots,
  state: {
    pending: (count: number) => `${counter('es', { one: 'nota', other: 'notas' })(count)} por enviar`,
    sent: 'Todas las notas enviadas',
  },
  intro:
    'Cómo se evalúa cada cultivo, aquí y en todos los teléfonos. Usted puede poner cada valor. Donde no ponga uno, Bedwalk usa la práctica común, que no tiene fuente: cámbiela por la suya.',
  emptyTitle: 'Todavía no hay cultivos',
  empty: 'Un cultivo aparece con el primer lote que lo nombra. También puede prepararlo antes.',
  common: 'práctica común',
  commonLong: (value: string) => `Ahora ${value}: práctica común, sin fuente. Cámbielo por el suyo.`,
  own: (value: string) => `Ahora ${value}, puesto aquí. Déjelo vacío para volver a la práctica común.`,
  ownBy: (who: string, when: string) => stop(`Lo puso ${who}, ${when}`),
  summary: (howMany: number, sizes: string) => `${lots(howMany)}, macetas de ${sizes}`,
  summaryNoSize: (howMany: number) => lots(howMany),
  nothingSet: 'Aquí no hay nada puesto; vale la práctica común.',
  openShort: 'Cambiar',
  gradesNone: 'No hay grados puestos; Bedwalk no puede decir qué grado darán sus macetas.',
  gradesOf: (size: string, names: string) => `Maceta de ${size}: ${names}`,
  another: 'Otro cultivo',
  anotherNote: 'Escrito como en sus lotes.',
  anotherOpen: 'Prepararlo',
  differ: (count: number) => `${counter('es', { one: 'desacuerdo', other: 'desacuerdos' })(count)} por decidir`,

  group: {
    even: 'Cuándo una cama está pareja',
    walks: 'Recorridos',
    trouble: 'Cuándo una cama tiene problemas',
    ship: 'Antes de embarcar',
  },
  groupNote: {
    even: 'Un cambio vale para todos los recorridos, también los pasados, en cuanto llega al servidor.',
    walks: 'Los teléfonos reciben el cambio cuando tengan señal.',
    trouble:
      'La clorosis y la pudrición de raíz se prueban maceta por maceta hasta saber si hay demasiada. Estos cuatro valores dicen qué tan estricta es la prueba.',
    ship: 'Cuándo empiezan los grados, cuántas macetas pide una promesa y cuánto se pierde entre el último recorrido y el camión.',
  },
  field: {
    head_tolerance_bp: 'Tolerancia de copa',
    bud_tolerance_bp: 'Tolerancia de botones',
    uniformity_aim_bp: 'Uniformidad deseada',
    walk_every_days: 'Días entre recorridos',
    min_pots: 'Mínimo de macetas por recorrido',
    max_pots: 'Máximo de macetas por recorrido',
    width_bp: 'Ancho deseado del intervalo de uniformidad',
    expected_cv_bp: 'Variación esperada en un primer recorrido',
    trouble_ok_bp: 'Porcentaje aceptable de macetas con problemas',
    trouble_bad_bp: 'Porcentaje excesivo de macetas con problemas',
    risk_false_bp: 'Riesgo de falsa alarma',
    risk_miss_bp: 'Riesgo de no verlo',
    expected_loss_bp: 'Pérdida esperada antes de embarcar',
    promise_min: 'Mínimo de macetas para prometer',
    graded_from_weeks: 'Los grados empiezan, semanas antes del embarque',
    sharing_sd_milli: 'Cuánto difieren las temporadas buenas y malas',
    grades: 'Grados',
    crop: 'Cultivo',
  },
  means: {
    head_tolerance_bp:
      'Qué tan lejos del promedio de su lote puede estar una copa y contar todavía como pareja. Si es más ancha, cuentan más macetas y sube la uniformidad.',
    bud_tolerance_bp: 'Lo mismo para el número de botones. Lo más disparejo de los dos es la uniformidad de la cama.',
    uniformity_aim_bp:
      'En el plano, una cama con esta uniformidad o más se ve clara; hasta 15 puntos menos, en el tono medio; con menos, oscura. Una cama que ya se puede clasificar y que con seguridad queda por debajo aparece en «Por atender».',
    walk_every_days:
      'Cuántos días después de un recorrido hay que recorrer otra vez la cama. Si hay varios cultivos en ella, vale el plazo más corto.',
    min_pots: 'Un recorrido no se da por suficiente antes de revisar estas macetas.',
    max_pots: 'Un recorrido termina con estas macetas, aunque el resultado siga inseguro.',
    width_bp:
      'Un recorrido sigue hasta que el intervalo es así de angosto: de 70 a 90 son 20 puntos. Más angosto es más seguro y pide más macetas.',
    expected_cv_bp:
      'Cuánto varían las copas dentro de un lote (CV), para decir cuántas macetas pide un primer recorrido. Después cuenta la variación de la propia cama.',
    trouble_ok_bp: 'Con este porcentaje de macetas con problemas, o menos, la cama debe pasar.',
    trouble_bad_bp:
      'Con este porcentaje, o más, la cama debe señalarse. Cuanto más cerca de lo aceptable, más macetas hacen falta.',
    risk_false_bp: 'Con qué frecuencia se puede señalar una cama que está bien. Menos riesgo pide más macetas.',
    risk_miss_bp: 'Con qué frecuencia puede pasar una cama con demasiados problemas. Menos riesgo pide más macetas.',
    expected_loss_bp:
      'Se descuenta de lo que se puede prometer si no se saben las pérdidas del lote ni lo que se pierde en sus etapas.',
    promise_min: 'No se promete nada de un lote, o de varios juntos, antes de revisar completas estas macetas.',
    sharing_sd_milli:
      'Los lotes de una misma variedad comparten una temporada buena o mala. Esto es cuánto se mueve con ella su parte en grado: con 0.35, una mitad en grado pasa a 41 a 59\u202f% en unas dos de cada tres temporadas. Con 0, ninguna temporada difiere. Cuanto mayor sea, menos es seguro en una semana.',
    graded_from_weeks:
      'Un lote recibe grado desde estas semanas antes de su semana de embarque. Antes, sus macetas todavía crecen y no reciben grado. Un lote sin semana de embarque recibe grado siempre.',
  },
  plusMinus: (value: string) => `± ${value}`,
  seasons: (value, low, high) => `${value}: de una mitad en grado quedan de ${low} a ${high}`,
  points: (value: string) => `${value} puntos`,
  weeks: (count: number) => counter('es', { one: 'semana', other: 'semanas' })(count),
  pointsSign: 'puntos',
  minAbove: (name: string, other: string, most: string) =>
    `${name}: es mayor que «${other}» (${most}). Escriba como máximo ${most}, o suba «${other}».`,
  maxBelow: (name: string, other: string, least: string) =>
    `${name}: es menor que «${other}» (${least}). Escriba como mínimo ${least}, o baje «${other}».`,
  badBelow: (name: string, other: string, least: string) =>
    `${name}: debe ser mayor que «${other}» (${least}). Escriba más, o baje «${other}».`,
  okAbove: (name: string, other: string, most: string) =>
    `${name}: debe ser menor que «${other}» (${most}). Escriba menos, o suba «${other}».`,

  gradesTitle: 'Grados',
  gradesIntro:
    'Una maceta recibe el primer grado, desde arriba, del que cumple todas las reglas. Una regla vacía no se revisa. La maceta que no cumple ninguno cuenta como «sin grado». Si falta un valor que un grado pide, queda sin decidir: no entra en la cuenta ni en ninguna promesa.',
  gradeList: (size: string) => `Maceta de ${size}`,
  gradeListNone: 'Todavía no hay grados para este tamaño de maceta.',
  gradeAdd: (size: string) => `Agregar un grado para la maceta de ${size}`,
  gradeFull: (most: number) => `Un cultivo tiene como máximo ${most} grados. Quite uno primero.`,
  sizeAnother: 'Otro tamaño de maceta',
  sizeAdd: 'Empezar su lista',
  sizesNone: 'Ningún lote de este cultivo tiene tamaño de maceta. Escriba uno aquí para empezar.',
  gradeNew: 'grado nuevo',
  gradeChange: (name: string) => `Cambiar ${name}`,
  gradeClose: (name: string) => `Cerrar ${name}`,
  gradeUp: (name: string) => `Subir ${name}`,
  gradeDown: (name: string) => `Bajar ${name}`,
  gradeOut: (name: string) => `Quitar ${name}`,
  gradeTaken: (name: string) => `Se quitó ${name}.`,
  change: 'Cambiar',
  close: 'Cerrar',
  up: 'Subir',
  down: 'Bajar',
  out: 'Quitar',
  asksNothing: 'no pide nada: toda maceta lo recibe',
  line: {
    name: 'Nombre',
    head_min_mm: 'Copa, desde',
    head_max_mm: 'Copa, hasta',
    round_min_bp: 'Redondez, al menos',
    buds_min: 'Botones, al menos',
    budded_min_bp: 'Puntas con botón, al menos',
    root_cover_min: 'Cobertura de raíz, al menos',
    root_life_min: 'Vida de raíz, al menos',
    chlorosis_max: 'Clorosis, a lo más',
    price_c: 'Precio de una maceta',
  },
  lineNote: {
    head: 'promedio de los dos diámetros',
    round: 'diámetro menor entre el mayor; pide los dos',
    budded: 'pide contar también las puntas sin botón',
  },
  says: {
    head: (low: string, high: string) => `copa de ${low} a ${high}`,
    headFrom: (low: string) => `copa desde ${low}`,
    headTo: (high: string) => `copa hasta ${high}`,
    round: (value: string) => `redondez ${value}`,
    buds: (count: string) => `botones ${count}`,
    budded: (value: string) => `puntas con botón ${value}`,
    cover: (written: string) => `cobertura de raíz ${written}`,
    life: (written: string) => `raíces ${written}`,
    chlorosis: (written: string) => `clorosis a lo más ${written}`,
  },
  notAsked: 'no se pide',
  chlorosisClass: ['ninguna', 'leve', 'media', 'fuerte', 'orillas cafés'],
  headOver: (low: string) =>
    `Copa, hasta: es menor que «Copa, desde». Escriba como mínimo ${low}, o baje «Copa, desde».`,
  nameTwice: (name: string) => `Nombre: ${name} está dos veces en este tamaño de maceta. Dé otro nombre a uno.`,

  seenTitle: 'Qué recibirían las macetas revisadas',
  seenLot: 'Macetas de',
  seenWalked: (lot: string, ago: string) => `${lot}, recorrido ${ago}`,
  seenCaption: (n: number, lot: string, ago: string) =>
    `${counter('es', { one: 'maceta', other: 'macetas' })(n)} de ${lot} revisadas completas, recorrido ${ago}`,
  seenNone:
    'Todavía no se ha recorrido ningún lote de este cultivo en este tamaño de maceta. Después del primer recorrido, aquí se ve el grado de sus macetas.',
  seenWrong: 'Corrija lo de arriba para ver otra vez el grado de las macetas.',
  seenEdited: 'Según los grados como están arriba, guardados o no.',
  noGrade: 'sin grado',
  pots: 'Macetas',
  grade: 'Grado',

  unsaved: (count: number) =>
    `${changes(count)} sin guardar; ${form('es', count, { one: 'queda', other: 'quedan' })} en este aparato, aunque salga de la página`,
  notYet: 'No se guardó. Corrija primero:',
  save: 'Guardar',
  discard: 'Descartar',
  discarded: 'Cambios descartados.',
  saved: (crop: string) => `${crop}: guardado. El servidor evaluará sus camas y lotes con los valores nuevos.`,
  gradesBy: (count: number, who: string) => `${grades(count)} de ${who}`,
  noGrades: 'sin grados',
  setGrades: (crop: string) => `Poner grados para ${crop}`,
  lists: {
    costs: 'Costos de las etapas',
    yields: 'Cuántas llegan',
    targets: 'Tamaño de copa por día',
    sizes: 'Por tamaño de maceta',
  },
  stagesSet: (count: number) => `puesto en ${counter('es', { one: 'etapa', other: 'etapas' })(count)}`,
  yields: {
    title: 'Cuántas llegan',
    intro:
      'De 100 que empiezan una etapa, ¿cuántas llegan al final? ¿Y cuántas plantas van en una maceta? Deje el campo vacío si no lo sabe. Con estos números, la página de un lote de esquejes dice cuántas macetas salen, y las semanas de embarque y las dos rutas calculan lo que falta por perderse en los lotes cuyas etapas por venir tengan todas su porcentaje aquí.',
    share_bp: 'Llegan',
    plants_each: 'Plantas por maceta',
    spoken: (stage: string, field: string) => `${stage}, ${field}`,
    cuttings: (pots: string, cuttings: string) =>
      `Para ${pots} macetas que lleguen al final de todas estas etapas hacen falta unos ${cuttings} esquejes.`,
    open: (stages: string) => `Sin escribir, así que cuenta como si no se perdiera nada: ${stages}.`,
  },
  sizes: {
    title: 'Por tamaño de maceta',
    intro:
      'En qué se aparta un tamaño de maceta del resto del cultivo. Llene solo lo que cambia: lo que deje vacío es lo del cultivo. Los días y los costos valen para los lotes que hoy están en macetas de ese tamaño; un lote en maceta más chica sigue al cultivo hasta que se trasplanta. Los días propios de una variedad van antes que los del tamaño. Los grados y el tamaño de copa por día tienen su maceta más abajo.',
    legend: (stage: string, size: string) => `${stage}, macetas de ${size}`,
    without: (crop: string) => `Sin días propios sigue al cultivo. ${crop}`,
    part: {
      share_bp: 'Llegan',
      plants_each: 'Plantas por maceta',
      labour_s: 'Trabajo, segundos',
      material_c: 'Materiales',
      pots_m2_c: 'Macetas por metro cuadrado',
    },
    spoken: (stage: string, size: string, field: string) => `${stage}, macetas de ${size}, ${field}`,
    spokenLength: (length: string, size: string) => `${length}, macetas de ${size}`,
    asCrop: 'como el cultivo',
    stage: 'Etapa',
    pot: 'Macetas de',
    add: 'Agregar este tamaño',
    full: (most: number) => `Un cultivo tiene como máximo ${most}. Quite uno primero.`,
    noSizes: 'Todavía no se conoce ningún tamaño de maceta. Llega con un lote de este cultivo o con un grado.',
    noStages: 'Este cultivo todavía no tiene etapas. Escriba arriba los días de una y guarde.',
    out: 'Quitar',
    outOf: (what: string) => `Quitar ${what}`,
    taken: (what: string) => `Se quitó: ${what}.`,
    count: (count: number) => `puesto en ${counter('es', { one: 'etapa y tamaño', other: 'etapas y tamaños' })(count)}`,
  },
  targets: {
    title: 'Tamaño de copa por día',
    intro:
      'El rango que usted desea: ¿qué copa media quiere a tantos días del último despunte o recorte? La página de cada lote lo dibuja detrás de sus recorridos, en línea recta entre un renglón y el siguiente. Los renglones de todo tamaño valen para el tamaño de maceta que no tenga los suyos. Este rango no decide nada: para un regulador de crecimiento decide la etiqueta.',
    none: 'Todavía no hay renglones. Bedwalk no conoce un rango publicado con el cual empezar: escriba el suyo, o déjelo así.',
    legend: (row: number) => `Renglón ${row}`,
    field: { day: 'Día después del despunte', low_mm: 'Límite inferior', high_mm: 'Límite superior' },
    pot: 'Para macetas de',
    everyPot: 'todo tamaño',
    spoken: (row: number, field: string) => `Renglón ${row}, ${field}`,
    add: 'Agregar un renglón',
    full: (most: number) => `Un cultivo tiene como máximo ${most} renglones. Quite uno primero.`,
    out: 'Quitar',
    outOf: (row: number) => `Quitar el renglón ${row}`,
    taken: (row: number) => `Se quitó el renglón ${row}.`,
    below: (name: string, low: string) =>
      `${name}: es menor que el límite inferior. Escriba como mínimo ${low}, o cambie el límite inferior.`,
    twice: (name: string, day: number) =>
      `${name}: el día ${day} está dos veces para este tamaño de maceta. Cambie uno de los dos, o quítelo.`,
    said: (size: string | undefined, day: number, low: string, high: string) =>
      `${size === undefined ? 'cualquier maceta' : `maceta de ${size}`}, día ${day}: de ${low} a ${high}`,
    count: (count: number) => counter('es', { one: 'renglón', other: 'renglones' })(count),
    empty: 'sin renglones',
  },
  cultivar: {
    title: 'Variedades',
    intro: 'Una variedad sigue a su cultivo en todo, menos en lo que tenga aquí su propio valor.',
    none: 'Ningún lote de este cultivo nombra todavía una variedad. Cada una que nombre un lote tendrá aquí su página.',
    own: (count: number) =>
      count === 0 ? 'sigue al cultivo' : counter('es', { one: 'valor propio', other: 'valores propios' })(count),
    field: { name: 'Variedad', of_crop: 'Cultivo', note: 'Comentario', root_share_bp: 'Esquejes que enraízan' },
    rootShareMeans:
      'De 100 esquejes de esta variedad, ¿cuántos enraízan? Déjelo vacío para seguir al cultivo. Si el enraizado de un lote ya se contó, vale ese conteo.',
    noteMeans: 'Qué tiene de especial su manejo',
    stagesTitle: 'Etapas distintas a las del cultivo',
    stagesIntro:
      'Piense en diez lotes de esta variedad: ¿cuántos días tardó el más rápido, el de en medio y el más lento? Deje los tres vacíos para seguir al cultivo.',
    follows: (said: string) => `Sigue al cultivo. ${said}`,
    took: (count: number, days: string) => `Sus últimos ${lots(count)} tardaron ${days} días.`,
    use: (quick: number, middle: number, slow: number) => `Usar ${quick}, ${middle} y ${slow} días`,
    isThere: 'Los días de estos lotes ya están en los campos de arriba.',
    cropsOwn: 'los propios del cultivo',
    weighed: (quick: number, middle: number, slow: number, standing: string, worth: number) =>
      `Se comparan con ${quick}, ${middle} y ${slow} días (${standing}), que cuentan como ${lots(worth)}: es un supuesto, sin fuente. Nada cambia hasta que usted guarde.`,
    ended: (days: number, on: string) => `${counter('es', { one: 'día', other: 'días' })(days)}, terminó el ${on}`,
    saved: (name: string) => `${name}: guardado. El plan de sus lotes cambia cuando llegue al servidor.`,
  },
} satisfies typeof english;
