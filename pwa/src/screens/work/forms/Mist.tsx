/** How much water a mist timer's schedule puts on in a day: arithmetic, kept as it is typed, noted nowhere. */
import { mistCycles, mistWater } from '../../../../../sync/climate/air';
import { TextField } from '../../../forms/fields';
import { useForm, type Form } from '../../../forms/form';
import type { Location } from '../../../forms/place';
import { plainNumber } from '../../../forms/typed';
import { Title } from '../../../router';
import { units } from '../../../words';
import { number } from '../../../words/format';
import { workWords } from '../../../words/rooms';
import { Hazards } from '../Cautions';
import { Clearing, Opening } from '../Frame';
import { Answered, BackAlone, type Sum } from '../Sum';

export function Mist({ place }: { place: Location }) {
  const words = workWords.value.work;
  const form = useForm('mist', { lot: '', bed: '' });
  if (!form) return <Opening title={words.forms.mist} />;
  const names = words.mist;
  const counts = [
    { field: 'on', label: names.on, sign: 's' },
    { field: 'every', label: names.every, sign: 'min' },
    { field: 'nozzles', label: names.nozzles },
    { field: 'flow', label: names.flow(units.value.volume) },
  ];
  return (
    <main class="scout work with-foot">
      <Title text={words.forms.mist} />
      <p class="quiet">{names.intro}</p>
      <Hazards of={['electricity']} />
      {counts.map(({ field, label, sign }) => (
        <TextField
          key={field}
          label={label}
          {...form.field(field, plainNumber(form.at(field), label))}
          mode="decimal"
          {...(sign ? { sign } : {})}
        />
      ))}
      <div class="two">
        {(['from', 'to'] as const).map((field) => (
          <TextField key={field} label={names[field]} {...form.field(field, {})} type="time" />
        ))}
      </div>
      <Answered sum={sumOf(form)} not={names.fill} />
      <Clearing form={form} />
      <BackAlone place={place} />
    </main>
  );
}

/** What the schedule comes to; undefined while something is missing or cannot be read, which stands at its field. */
function sumOf(form: Form): Sum | undefined {
  const names = workWords.value.work.mist;
  const [on, every, nozzles, flow] = ['on', 'every', 'nozzles', 'flow'].map(
    (field) => plainNumber(form.at(field), '').value,
  );
  const [from, to] = [minuteOf(form.at('from')), minuteOf(form.at('to'))];
  if (on === undefined || every === undefined || nozzles === undefined || flow === undefined) return undefined;
  if (from === undefined || to === undefined) return undefined;
  if (Math.min(on, every, nozzles, flow) <= 0) return { problem: names.above };
  if (to <= from) return { problem: names.order };
  if (on >= every * 60) return { problem: names.always };
  const cycles = mistCycles(every, from, to);
  const water = mistWater(cycles * on, nozzles, flow);
  return {
    headline: names.water(`${number(water)}\u202f${units.value.volume}`),
    lines: [names.cycles(number(cycles), number((cycles * on) / 60))],
  };
}

/** Minutes after midnight of a time of day ("08:30"). */
function minuteOf(time: string): number | undefined {
  const [, hours, minutes] = /^(\d\d):(\d\d)/.exec(time) ?? [];
  return hours === undefined ? undefined : Number(hours) * 60 + Number(minutes);
}
