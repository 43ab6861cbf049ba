import { counter } from '../plural';
import type { right as english } from '../en/right';

const lots = counter('es', { one: 'lote', other: 'lotes' });
const days = counter('es', { one: 'día', other: 'días' });
const pots = counter('es', { one: 'maceta', other: 'macetas' });
const answers = counter('es', { one: 'respuesta', other: 'respuestas' });

export const right: typeof english = {
  title: 'Qué tanto acertó',
  intro:
    'Lo que el plan decía de cada lote 4, 8 y 12 semanas antes de embarcarse, con las notas que habían llegado al servidor al final de ese día. Una nota que llegó después no cuenta, aunque hable de un día anterior.',
  compared:
    'Nadie anota el día en que un lote está listo, así que se compara con el día en que se embarcó. Un lote que estuvo listo antes y esperó su semana está a tiempo.',
  waiting: (count) =>
    `Faltan por calcular ${answers(count)} de días anteriores. Mientras tanto, los conteos son de las demás.`,
  emptyTitle: 'Todavía no se ha embarcado ningún lote',
  empty: (since) =>
    `Aquí aparecen los lotes que se embarcaron desde el ${since}. Anote en la página del lote cuándo se embarca; no hace falta nada más.`,
  few: (count, least) =>
    `Hasta ahora se embarcaron ${lots(count)}. Los conteos y la gráfica aparecen a partir de ${least} lotes; mientras tanto, vea cada lote abajo.`,
  count: (count, since) => `${lots(count)} desde el ${since}`,
  before: 'Semanas antes del embarque',
  weeks: (count) => `${count} semanas antes`,
  scoresTitle: 'Cuántas veces acertó',
  table: {
    of: 'Lotes',
    inside: 'Embarcados dentro del margen de 90\u202f%',
    late: 'Lote de en medio',
    held: 'Cantidad segura cumplida',
    chance: 'Probabilidad que se dijo',
    came: 'Embarcados a tiempo',
    lot: 'Lote',
    left: 'Embarcado',
    ready: 'Se dijo: listo',
    days: 'Contra el día probable',
    inTime: 'Listo para su semana',
    pots: 'Macetas seguras',
    grades: 'En grado',
  },
  all: 'todos los lotes',
  cultivar: (crop, cultivar) => `${crop}, ${cultivar}`,
  of: (count, n, low, high) => `${count}\u00a0de\u00a0${n} (${low}\u00a0a\u00a0${high})`,
  none: 'nada que comparar',
  late: (count) => `${count} de atraso`,
  early: (count) => `${count} antes`,
  onTime: 'a tiempo',
  days: (count, written) => (count === 1 ? days(1) : `${written} días`),
  plotTitle: 'Lo que se dijo y cuántas veces se cumplió',
  plot: 'Cada línea es una décima de las probabilidades: el círculo dice cuántos de esos lotes se embarcaron a tiempo, la barra su intervalo de 90\u202f%. Sobre la línea inclinada, lo que se dijo se cumplió tantas veces como debía. La tabla tiene los mismos números.',
  plotAxes: { said: 'probabilidad que se dijo', came: 'embarcados a tiempo' },
  noTenths: 'Ninguno de estos lotes tenía semana de embarque entonces.',
  shared:
    'Los intervalos son de 90\u202f%. Los lotes de una temporada se atrasan juntos, así que la incertidumbre verdadera es mayor. Lo correcto sería al menos 90\u202f% dentro del margen, porque los lotes que esperaron su semana cuentan como dentro.',
  spread: {
    title: 'Temporadas y primaveras',
    intro:
      'Dos supuestos dicen qué tanto los lotes salen buenos, malos o tarde todos juntos. Esto mostraron sus propios lotes, junto a lo que el plan supone ahora.',
    season: (crop, n, groups) =>
      `${crop}, cuánto difieren las temporadas buenas y malas, con ${lots(n)} en ${groups} temporadas:`,
    seasonUnknown:
      'Cuánto difieren las temporadas buenas y malas: todavía no se sabe. Hacen falta 6 lotes embarcados en 3 temporadas, cada uno con un recorrido posterior a lo que dijo el plan.',
    pace: (crop, stage, n, groups) =>
      `Cuánto adelanta o atrasa una primavera a todos los lotes, por «${stage}» de ${crop}, con ${lots(n)} en ${groups} medios años:`,
    paceUnknown:
      'Cuánto adelanta o atrasa una primavera a todos los lotes: todavía no se sabe. Hace falta una etapa de un cultivo que haya terminado en 3 medios años, con notas de sus lotes.',
    between: (low, high) => `(${low} a ${high}).`,
    now: (now, isOwn) =>
      isOwn ? `El plan supone ${now}, valor suyo.` : `El plan supone ${now}, de Bedwalk y sin fuente.`,
    fits: 'Concuerda.',
    off: 'No concuerda.',
    use: (value) => `Usar ${value} desde ahora`,
    back: (value) => `Volver a ${value}`,
    saved: (value) => `El plan supone ${value} desde ahora.`,
    note: 'Temporadas: la parte en el mejor grado, lo visto en el recorrido contra lo esperado; comparten una los lotes de una variedad que se embarcan en la misma mitad del año. Primaveras: los días que duró una etapa contra los probables, como proporción; el frío no cuenta, porque lo termina la gente. Intervalos del 90\u202f%. Pocas temporadas dicen poco: con tres, el intervalo es ancho.',
  },
  listTitle: 'Lote por lote',
  span: (likely, from, to) => `${likely} (${from} a ${to})`,
  open: (likely, from) => `${likely} (${from} o después, sin fin conocido)`,
  unknownDay: 'sin día probable',
  problem: {
    not_written: 'nadie había anotado el lote',
    shipped: 'ya estaba anotado como embarcado',
    no_stages: 'el cultivo no tenía etapas',
    start_unknown: 'ningún paso tenía fecha',
  },
  outside: 'fuera del margen',
  week: (chance, week) => `${chance} para ${week}`,
  noWeek: 'sin semana de embarque entonces',
  made: 'cumplió',
  missed: 'no cumplió',
  sure: (count, shipped) => `${pots(count)} seguras, ${shipped} embarcadas para entonces`,
  noSure: 'ninguna segura',
  moved: 'hubo macetas que siguieron como otro lote, no se compara',
  grade: (grade, share, low, high) => `${grade}: se dijo ${share} (${low} a ${high})`,
  saw: (count, n) => `${count} de ${n} en el último recorrido`,
  noShares: 'no se sabía nada de sus grados entonces',
};
