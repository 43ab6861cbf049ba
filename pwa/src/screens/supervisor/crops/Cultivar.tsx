import type { CultivarsView, StageTook } from '../../../../../schema/types';
import { cropKey } from '../../../../../sync/bed/crop';
import { cultivarOf } from '../../../journal/records/input';
import { recordOf } from '../../../journal/records/registers';
import { TextField, WordsField } from '../../../forms/fields';
import { wordsTyped } from '../../../forms/typed';
import { Link, route } from '../../../router';
import { held, useView } from '../../../views/views';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { Page, Section } from '../Page';
import { CropSettle } from './CropSettle';
import { nameOfCrop } from '../../../words/names';
import { addressOfCrop, addressOfCultivar, cropIn, cropOf, cultivarsOf, stateOfNotes } from './crops';
import { useCultivarEdit } from './cultivaredit';
import { EditFoot } from './EditFoot';
import { StageFields } from './StageFields';
import { Took } from './Took';
import { cultivarInForce } from './stageWords';
import '../../../style/supervisor-crops.css';

/** Where one cultivar differs from its crop, to be changed. */
export default function Cultivar({ id = '' }: { id?: string }) {
  const words = supervisorWords.value.crops;
  const crop = cropOf(cropIn(id)).name;
  const asked = cropIn(route.value.parts[2] ?? '');
  const name = cultivarsOf(crop).find((each) => cropKey(each.name) === cropKey(asked))?.name ?? asked;
  const known = wordsTyped(name, 'cultivar', 'name', words.cultivar.field.name, true);
  return (
    <Page
      here="crops"
      title={() => name}
      loaded={held(addressOfCultivar(crop, name))}
      onTryAgain={() => location.reload()}
      state={stateOfNotes}
      above={() => <Link to={addressOfCrop(crop)}>{nameOfCrop(crop)}</Link>}
    >
      {(address) =>
        known.value === undefined ? <p>{known.problem}</p> : <Growing key={address} crop={crop} name={name} />
      }
    </Page>
  );
}

function Growing({ crop, name }: { crop: string; name: string }) {
  const words = supervisorWords.value.crops;
  const { view } = useView<CultivarsView>('cultivars');
  const edit = useCultivarEdit(crop, name);
  if (!edit) return <p class="quiet waiting">{appWords.value.common.loading}</p>;
  const of = cultivarOf(crop, name)?.id ?? '';
  const fields = recordOf('cultivar', of)?.register?.fields ?? {};
  const took = new Map(tookOf(view, crop, name).map((each) => [each.stage, each]));
  return (
    <>
      <p class="intro">{words.cultivar.intro}</p>
      {of !== '' && <CropSettle kind="cultivar" of={of} fields={fields} />}
      <form class="crop on-paper" onSubmit={(event) => event.preventDefault()} noValidate>
        <StageFields
          title={words.cultivar.stagesTitle}
          intro={words.cultivar.stagesIntro}
          edit={edit}
          inForce={(stage) => cultivarInForce(crop, stage, fields[stage])}
          under={(stage) => {
            const lots = took.get(stage);
            return lots && <Took took={lots} stage={stage} edit={edit} />;
          }}
        />
        <Section title={words.cultivar.field.root_share_bp}>
          <p class="intro quiet">{words.cultivar.rootShareMeans}</p>
          <div class="asked">
            <TextField
              label={words.yields.share_bp}
              spoken={words.cultivar.field.root_share_bp}
              typed={edit.rootShare}
              answer={edit.rootShareAnswer}
              tried={true}
              mode="decimal"
              sign="%"
              onType={edit.typeRootShare}
            />
          </div>
        </Section>
        <Section title={words.cultivar.field.note}>
          <WordsField
            label={words.cultivar.noteMeans}
            typed={edit.note}
            answer={edit.noteAnswer}
            tried={true}
            onType={edit.typeNote}
          />
        </Section>
        <EditFoot edit={edit} />
      </form>
    </>
  );
}

function tookOf(view: CultivarsView | undefined, crop: string, name: string): readonly StageTook[] {
  const isIt = (each: { crop: string; cultivar: string }) =>
    cropKey(each.crop) === cropKey(crop) && cropKey(each.cultivar) === cropKey(name);
  return view?.cultivars.find(isIt)?.stages ?? [];
}
