/** What a supervisor is changing about one cultivar, kept at every keystroke until it is saved or discarded. */
import type { EntryBody } from '../../../../../schema/types';
import { cultivarOf } from '../../../journal/records/input';
import { recordOf } from '../../../journal/records/registers';
import { intent } from '../../../journal/outbox/write';
import { say } from '../../../parts/Toast';
import { supervisorWords } from '../../../words/supervisor';
import { useForm, type Form } from '../../../forms/form';
import { saveForm } from '../../../forms/saving';
import { amount, problemsOf, shownAmount, wordsTyped, type Answer } from '../../../forms/typed';
import type { Unsaved } from './EditFoot';
import { newCultivarId } from './crops';
import { putter, sawAll } from './keptfields';
import { stagesOfCultivar } from './stages';
import { stageEdit, type StageEdit } from './stageedit';

export interface CultivarEdit extends StageEdit, Unsaved {
  note: string;
  noteAnswer: Answer<string>;
  typeNote: (text: string) => void;
  rootShare: string;
  rootShareAnswer: Answer<number>;
  typeRootShare: (text: string) => void;
}

/** @returns undefined for the moment until what was typed earlier has been read */
export function useCultivarEdit(crop: string, name: string): CultivarEdit | undefined {
  const form = useForm(`cultivar ${crop} ${name}`, { lot: '', bed: '' });
  if (!form) return undefined;
  const words = supervisorWords.value.crops;
  const own = cultivarOf(crop, name);
  const typed = new Map(form.fields());
  const put = putter(form, () => recordOf('cultivar', own?.id ?? '')?.register?.fields ?? {});
  const stages = stageEdit(stagesOfCultivar(crop), typed, own ?? {}, put);
  const was = own?.note ?? '';
  const note = typed.get('note') ?? was;
  const noteAnswer = wordsTyped(note, 'cultivar', 'note', words.cultivar.field.note);
  const had = own?.root_share_bp;
  const hadText = shownAmount(had, 'percent');
  const rootShare = typed.get('root_share_bp') ?? hadText;
  const rootShareAnswer = amount(rootShare, {
    kind: 'cultivar',
    field: 'root_share_bp',
    name: words.cultivar.field.root_share_bp,
    measure: 'percent',
  });
  const changes = {
    ...stages.stageChanges,
    ...(rootShareAnswer.problem === undefined && rootShareAnswer.value === had
      ? {}
      : { root_share_bp: rootShareAnswer.value ?? null }),
    ...(note.trim() === was ? {} : { note: noteAnswer.value ?? null }),
  };
  return {
    ...stages,
    note,
    noteAnswer,
    typeNote: (text) => put('note', { note: text === was ? undefined : text }),
    rootShare,
    rootShareAnswer,
    typeRootShare: (text) => put('root_share_bp', { root_share_bp: text === hadText ? undefined : text }),
    problems: problemsOf([rootShareAnswer, noteAnswer, ...stages.stageAnswers]),
    changes: Object.keys(changes).length,
    save: () => save(form, crop, name, changes),
    discard: () => {
      const before = Object.fromEntries(form.fields());
      form.clear();
      say(words.discarded, () => form.set(before));
    },
  };
}

async function save(form: Form, crop: string, name: string, changes: { readonly [field: string]: unknown }) {
  const own = cultivarOf(crop, name);
  const body = {
    of: own?.id ?? newCultivarId(crop, name),
    saw: sawAll(new Map(form.fields()), Object.keys(changes)),
    ...(own ? {} : { of_crop: crop, name }),
    ...changes,
  } as EntryBody['cultivar'];
  const saved = await saveForm(
    form,
    [intent('cultivar', body, { id: form.id(1) })],
    supervisorWords.value.crops.cultivar.saved(name),
  );
  if (saved) form.clear();
}
