import { useState } from 'preact/hooks';
import { limits } from '../../../../../schema/limits';
import type { Grade, RoutesView, StageCost } from '../../../../../schema/types';
import { cropKey } from '../../../../../sync/bed/crop';
import { SelectField, TextField } from '../../../forms/fields';
import { amount, problemsOf, shownAmount, type Answer, type Measure } from '../../../forms/typed';
import { profileOf } from '../../../journal/records/input';
import { sites } from '../../../journal/records/registers';
import { Button } from '../../../parts/Button';
import { potSize } from '../../../words/entry';
import { supervisorWords } from '../../../words/supervisor';
import { nameOfCrop } from '../../../words/names';
import { listOfStages, stagesGone, type StageName } from '../crops/stages';
import { changedFrom, leaving, RegisterForm, useRegisterEdit } from '../lot/RegisterEdit';
import { nameOfMoney, type Money } from './routesWords';
import '../../../style/supervisor-crops.css';

/** What the nursery has written of wages, bench, prices and costs, and the forms to change it. */
export function MoneyOfNursery({ view, money }: { view: RoutesView; money: Money }) {
  const words = supervisorWords.value.routes.money;
  const [open, setOpen] = useState<string | undefined>(undefined);
  const crops = [...new Map(view.lots.map(({ crop }) => [cropKey(crop), crop])).values()];
  const close = () => setOpen(undefined);
  return (
    <details class="rests">
      <summary>{words.title}</summary>
      <p>{words.site(nameOfMoney(view.wage_c_hour, money), nameOfMoney(view.space_c_m2_week, money))}</p>
      {open === undefined ? (
        <div class="actions">
          <Button onClick={() => setOpen('')}>{words.siteChange}</Button>
          {crops.map((crop) => (
            <Button key={crop} onClick={() => setOpen(crop)}>
              {words.cropChange(nameOfCrop(crop))}
            </Button>
          ))}
        </div>
      ) : open === '' ? (
        <SiteMoney onDone={close} />
      ) : (
        <CropMoney crop={open} onDone={close} />
      )}
    </details>
  );
}

function SiteMoney({ onDone }: { onDone: () => void }) {
  const words = supervisorWords.value.routes.money;
  const [site] = sites.value.values();
  const shown = (field: string) => {
    if (field === 'currency') return site?.currency ?? '';
    return shownAmount(field === 'wage_c_hour' ? site?.wage_c_hour : site?.space_c_m2_week, 'money');
  };
  const edit = useRegisterEdit('site', site?.id ?? '', '', shown);
  if (!edit) return null;
  const read = (field: 'wage_c_hour' | 'space_c_m2_week', name: string) =>
    amount(edit.at(field), { kind: 'site', field, name, measure: 'money' });
  const wage = read('wage_c_hour', words.wage);
  const space = read('space_c_m2_week', words.space);
  const save = async () => {
    const all = {
      currency: edit.at('currency') || undefined,
      wage_c_hour: wage.value,
      space_c_m2_week: space.value,
    };
    if (await edit.save(changedFrom<string | number>(site, all), words.saved)) onDone();
  };
  return (
    <RegisterForm
      edit={edit}
      kind="money-fields"
      problems={problemsOf([wage, space])}
      onSave={save}
      save={words.save}
      beside={leaving(edit, words.cancel, onDone)}
    >
      <h3>{words.siteTitle}</h3>
      <SelectField
        label={words.currency}
        value={edit.at('currency')}
        none={words.currencyNone}
        options={limits.site.currency.oneof.map((code) => ({ value: code, label: code }))}
        onChoose={(code) => edit.type('currency', code)}
      />
      <TextField label={words.wage} {...edit.field('wage_c_hour', wage)} mode="decimal" />
      <TextField label={words.space} {...edit.field('space_c_m2_week', space)} mode="decimal" />
    </RegisterForm>
  );
}

const costFields = {
  labour_s: 'count',
  material_c: 'money',
  pots_m2_c: 'money',
} as const satisfies { [field in keyof StageCost]?: Measure };
type CostField = keyof typeof costFields;

function CropMoney({ crop, onDone }: { crop: string; onDone: () => void }) {
  const words = supervisorWords.value.routes.money;
  const own = profileOf(crop);
  const grades = own?.grades ?? [];
  const costs = own?.costs ?? [];
  const stages = stagesGone(crop, own);
  const shown = (field: string) => {
    const grade = grades.find((each) => priceKey(each) === field);
    if (grade) return shownAmount(grade.price_c, 'money');
    const [stage, cost] = field.split('.');
    const value = costs.find((each) => each.stage === stage)?.[cost as CostField];
    return shownAmount(value, costFields[cost as CostField]);
  };
  const edit = useRegisterEdit('profile', own?.id ?? '', '', shown);
  if (!edit) return null;
  if (!own || grades.length === 0) {
    return (
      <>
        <p>{words.noProfile(nameOfCrop(crop))}</p>
        <Button onClick={onDone}>{words.cancel}</Button>
      </>
    );
  }
  const priced = grades.map((grade) => ({
    grade,
    name: words.price(grade.name, potSize(grade.pot_mm)),
    answer: amount(edit.at(priceKey(grade)), {
      kind: 'profile',
      field: 'grades[].price_c',
      name: words.price(grade.name, potSize(grade.pot_mm)),
      measure: 'money',
    }),
  }));
  const names: Record<CostField, string> = {
    labour_s: words.labour,
    material_c: words.material,
    pots_m2_c: words.density,
  };
  const costed = stages.map((stage) => ({
    stage,
    fields: (Object.keys(costFields) as CostField[]).map((field) => ({
      field,
      answer: amount(edit.at(`${stage}.${field}`), {
        kind: 'profile',
        field: `costs[].${field}`,
        name: words.spoken(stageName(stage), names[field]),
        measure: costFields[field],
      }),
    })),
  }));
  const save = async () => {
    const changed = { ...changedGrades(grades, priced), ...changedCosts(costs, stages, costed) };
    if (await edit.save(changed, words.saved)) onDone();
  };
  return (
    <RegisterForm
      edit={edit}
      kind="money-fields"
      problems={problemsOf([
        ...priced.map(({ answer }) => answer),
        ...costed.flatMap(({ fields }) => fields.map(({ answer }) => answer)),
      ])}
      onSave={save}
      save={words.save}
      beside={leaving(edit, words.cancel, onDone)}
    >
      <h3>{words.cropTitle(nameOfCrop(crop))}</h3>
      <div class="stage">
        <div class="three">
          {priced.map(({ grade, name, answer }) => (
            <TextField key={priceKey(grade)} label={name} {...edit.field(priceKey(grade), answer)} mode="decimal" />
          ))}
        </div>
      </div>
      <p class="small quiet">{words.perPot}</p>
      <div class="stages">
        {costed.map(({ stage, fields }) => (
          <fieldset key={stage} class="stage">
            <legend>{stageName(stage)}</legend>
            <div class="three">
              {fields.map(({ field, answer }) => (
                <TextField
                  key={field}
                  label={names[field]}
                  spoken={words.spoken(stageName(stage), names[field])}
                  {...edit.field(`${stage}.${field}`, answer)}
                  mode="decimal"
                />
              ))}
            </div>
          </fieldset>
        ))}
      </div>
    </RegisterForm>
  );
}

function stageName(stage: StageName): string {
  return supervisorWords.value.plan.stage[stage];
}

function priceKey(grade: Grade): string {
  return `price ${grade.pot_mm} ${grade.name}`;
}

/** The grades with their prices as typed, or nothing where no price is another. */
export function changedGrades(
  grades: readonly Grade[],
  priced: readonly { grade: Grade; answer: Answer<number> }[],
): { grades?: Grade[] } {
  const fresh = grades.map((grade, i): Grade => {
    const { price_c: _, ...rest } = grade;
    const price = priced[i]?.answer.value;
    return price === undefined ? rest : { ...rest, price_c: price };
  });
  return fresh.some((grade, i) => grade.price_c !== grades[i]?.price_c) ? { grades: fresh } : {};
}

/** The costs as typed, those of stages that the crop no longer has kept; nothing where none is another. */
export function changedCosts(
  costs: readonly StageCost[],
  stages: readonly StageName[],
  costed: readonly { stage: StageName; fields: readonly { field: CostField; answer: Answer<number> }[] }[],
): { costs?: StageCost[] } {
  const typed = costed.flatMap(({ stage, fields }): StageCost[] => {
    const given = fields.flatMap(({ field, answer }) => (answer.value === undefined ? [] : [[field, answer.value]]));
    return given.length === 0 ? [] : [{ stage, ...(Object.fromEntries(given) as Partial<StageCost>) }];
  });
  const { all, isChanged } = listOfStages(typed, costs, stages);
  return isChanged ? { costs: all } : {};
}
