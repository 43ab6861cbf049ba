import type { Cooler } from '../../../../../schema/types';
import { intent } from '../../../journal/outbox/write';
import { TextField } from '../../../forms/fields';
import { useForm } from '../../../forms/form';
import { saveForm } from '../../../forms/saving';
import { amount, problemsOf, wayOf } from '../../../forms/typed';
import { Button } from '../../../parts/Button';
import { temperature } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';

/** A cooler's temperature as somebody has just read it. */
export function HandReading({ cooler, onDone }: { cooler: Cooler; onDone: () => void }) {
  const words = supervisorWords.value.cooler.form;
  const form = useForm(`cooler ${cooler.house}`, { lot: '', bed: '' });
  if (!form) return null;
  const temp = amount(form.at('temp_dc'), {
    kind: 'reading',
    field: 'temp_dc',
    name: words.temp,
    measure: 'temperature',
    must: true,
  });
  const submit = async () => {
    form.trying();
    if (problemsOf([temp]).length > 0 || temp.value === undefined) return;
    const note = intent('reading', { house: cooler.house, temp_dc: temp.value }, { id: form.id(0) });
    if (!(await saveForm(form, [note], words.handSaved(temperature(temp.value), cooler.name)))) return;
    form.clear();
    onDone();
  };
  return (
    <form
      noValidate
      class="crop"
      onSubmit={(event) => {
        event.preventDefault();
        void submit();
      }}
    >
      <TextField
        label={words.temp}
        {...form.field('temp_dc', temp)}
        sign={wayOf('temperature').sign}
        note={words.handNote}
      />
      <div class="actions">
        <Button
          kind="quiet"
          onClick={() => {
            form.clear();
            onDone();
          }}
        >
          {words.cancel}
        </Button>
        <Button kind="main" submit>
          {words.save}
        </Button>
      </div>
    </form>
  );
}
