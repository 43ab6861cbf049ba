import type { Field } from '../../../../../schema/types';
import { recordOf } from '../../../journal/records/registers';
import { Link } from '../../../router';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { stamp } from '../../../words/format';
import { nameOfCrop } from '../../../words/names';
import { TextField } from '../../../forms/fields';
import { wordsTyped } from '../../../forms/typed';
import { CropSettle } from './CropSettle';
import { CultivarList } from './CultivarList';
import { EditFoot } from './EditFoot';
import { useCropEdit, type CropEdit } from './cropedit';
import { cropIn, cropOf, personName, stateOfNotes, type Crop as Known } from './crops';
import { groups, isTolerance, measureOf, saidValue, signOf, startsWith, type ValueName } from './cropvalues';
import { GradeLists } from './GradeLists';
import { SizeFields } from './SizeFields';
import { StageFields } from './StageFields';
import { stageInForce } from './stageWords';
import { TargetFields } from './TargetFields';
import { YieldFields } from './YieldFields';
import { held } from '../../../views/views';
import { Page, Section } from '../Page';
import '../../../style/supervisor-crops.css';

/** How one crop is judged, to be changed. */
export default function Crop({ id = '' }: { id?: string }) {
  const name = cropIn(id);
  const words = supervisorWords.value.crops;
  const known = wordsTyped(name, 'profile', 'crop', words.field.crop, true);
  return (
    <Page
      here="crops"
      title={() => nameOfCrop(name)}
      loaded={held(cropOf(name))}
      onTryAgain={() => location.reload()}
      state={stateOfNotes}
      above={() => <Link to="/crops">{words.title}</Link>}
    >
      {(crop) => (known.value === undefined ? <p>{known.problem}</p> : <Judging key={name} crop={crop} />)}
    </Page>
  );
}

function Judging({ crop }: { crop: Known }) {
  const words = supervisorWords.value.crops;
  const edit = useCropEdit(crop.name);
  if (!edit) return <p class="quiet waiting">{appWords.value.common.loading}</p>;
  const fields = recordOf('profile', crop.profile?.id ?? '')?.register?.fields ?? {};
  return (
    <>
      <p class="intro">{words.intro}</p>
      {crop.profile && <CropSettle kind="profile" of={crop.profile.id} fields={fields} />}
      <CultivarList crop={crop.name} />
      <form class="crop on-paper" onSubmit={(event) => event.preventDefault()} noValidate>
        {groups.map((group) => (
          <Section key={group.name} title={words.group[group.name]}>
            <p class="intro quiet">{words.groupNote[group.name]}</p>
            <div class="asked">
              {group.values.map((name) => (
                <Value key={name} name={name} edit={edit} field={fields[name]} />
              ))}
            </div>
          </Section>
        ))}
        <StageFields
          title={supervisorWords.value.plan.stagesTitle}
          intro={supervisorWords.value.plan.stagesIntro}
          edit={edit}
          inForce={(stage) => stageInForce(crop.name, stage, fields[stage])}
        />
        <YieldFields edit={edit} />
        <SizeFields
          crop={crop}
          edit={edit}
          field={fields.sizes}
          inForce={(stage) => stageInForce(crop.name, stage, fields[stage])}
        />
        <GradeLists crop={crop} edit={edit} />
        <TargetFields crop={crop} edit={edit} field={fields.targets} />
        <EditFoot edit={edit} />
      </form>
    </>
  );
}

/** One value: what it means, what is in force and by whom, and a field for one's own. */
function Value({ name, edit, field }: { name: ValueName; edit: CropEdit; field: Field | undefined }) {
  const words = supervisorWords.value.crops;
  const label = words.field[name];
  const own = typeof field?.value === 'number' ? field.value : undefined;
  const note = (
    <>
      {words.means[name]}
      <br />
      {field === undefined || own === undefined ? (
        <span class="common">{words.commonLong(saidValue(name, startsWith[name]))}</span>
      ) : (
        <>
          {words.own(saidValue(name, own))} {words.ownBy(personName(field.by.person), stamp(field.by.stamp))}
        </>
      )}
    </>
  );
  return (
    <TextField
      label={isTolerance(name) ? words.plusMinus(label) : label}
      typed={edit.typed(name)}
      answer={edit.answers[name]}
      tried={true}
      note={note}
      mode={measureOf(name) === 'count' ? 'numeric' : 'decimal'}
      sign={signOf(name)}
      onType={(text) => edit.type(name, text)}
    />
  );
}
