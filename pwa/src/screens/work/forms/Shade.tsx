/** How much light of a day reaches the plants under a roof and a shade cloth: arithmetic, kept as it is typed, noted nowhere. */
import { lightUnder } from '../../../../../sync/climate/air';
import { TextField } from '../../../forms/fields';
import { useForm, type Form } from '../../../forms/form';
import type { Location } from '../../../forms/place';
import { plainNumber } from '../../../forms/typed';
import { Title } from '../../../router';
import { number } from '../../../words/format';
import { workWords } from '../../../words/rooms';
import { Clearing, Opening } from '../Frame';
import { Answered, BackAlone, type Sum } from '../Sum';

/** mol/m²: the clearest summer day anywhere on the ground brings about 65 (from memory), so more is a mistake or another unit. */
const MOST = 80;

export function Shade({ place }: { place: Location }) {
  const words = workWords.value.work;
  const form = useForm('shade', { lot: '', bed: '' });
  if (!form) return <Opening title={words.forms.shade} />;
  const names = words.shade;
  const fields = [
    { field: 'outdoors', label: names.outdoors, sign: names.aDay, note: names.outdoorsHint },
    { field: 'cover', label: names.cover, sign: '%', note: names.coverHint },
    { field: 'cloth', label: names.cloth, sign: '%', note: names.clothHint },
  ];
  return (
    <main class="scout work with-foot">
      <Title text={words.forms.shade} />
      <p class="quiet">{names.intro}</p>
      {fields.map(({ field, label, sign, note }) => (
        <TextField
          key={field}
          label={label}
          {...form.field(field, plainNumber(form.at(field), label))}
          mode="decimal"
          sign={sign}
          note={note}
        />
      ))}
      <Answered sum={sumOf(form)} not={names.fill} />
      <Clearing form={form} />
      <BackAlone place={place} />
    </main>
  );
}

function moles(light: number): string {
  return `${number(light, 1)}\u202fmol/m²`;
}

/** Under the roof with the cloth and without; undefined while something is missing or cannot be read, which stands at its field. */
function sumOf(form: Form): Sum | undefined {
  const names = workWords.value.work.shade;
  const [outdoors, cover, cloth] = ['outdoors', 'cover', 'cloth'].map((field) => plainNumber(form.at(field), '').value);
  if (outdoors === undefined || cover === undefined || cloth === undefined) return undefined;
  if (!(outdoors > 0 && outdoors <= MOST)) return { problem: names.outdoorsOver };
  if (!(cover > 0 && cover <= 100)) return { problem: names.share };
  if (!(cloth >= 0 && cloth < 100)) return { problem: names.clothShare };
  const bare = lightUnder(outdoors, cover / 100, 0);
  const under = lightUnder(outdoors, cover / 100, cloth / 100);
  return { headline: names.inside(moles(under)), lines: under < bare ? [names.noCloth(moles(bare))] : [] };
}
