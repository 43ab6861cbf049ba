import { cuttingsFor } from '../../../../../sync/crop/yields';
import { TextField } from '../../../forms/fields';
import { list, number } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { Section } from '../Page';
import type { CropEdit } from './cropedit';
import { beginsWithPots, throughStages, yieldKey, type YieldPart } from './yields';
import type { StageName } from './stages';

/** Pots for which it is said how many cuttings they take. */
const WANTED = 1000;

/** How many come through each stage and go into a pot, and what that makes of cuttings. */
export function YieldFields({ edit }: { edit: CropEdit }) {
  const words = supervisorWords.value.crops.yields;
  const { stage: names } = supervisorWords.value.plan;
  const stages = throughStages(edit.stagesGone, edit.yields, undefined);
  const open = stages.filter(({ isWritten }) => !isWritten);
  const field = (stage: StageName, part: YieldPart) => (
    <TextField
      label={words[part]}
      spoken={words.spoken(names[stage], words[part])}
      typed={edit.typedYield(stage, part)}
      answer={edit.yieldAnswers.get(yieldKey(stage, part)) ?? {}}
      tried={true}
      mode={part === 'plants_each' ? 'numeric' : 'decimal'}
      sign={part === 'share_bp' ? '%' : ''}
      onType={(text) => edit.typeYield(stage, part, text)}
    />
  );
  return (
    <Section title={words.title}>
      <p class="intro quiet">{words.intro}</p>
      <div class="stages">
        {edit.stagesGone.map((stage) => (
          <fieldset key={stage} class="stage">
            <legend>{names[stage]}</legend>
            <div class="two">
              {field(stage, 'share_bp')}
              {beginsWithPots(stage) && field(stage, 'plants_each')}
            </div>
          </fieldset>
        ))}
      </div>
      {open.length < stages.length && (
        <p>
          {words.cuttings(number(WANTED), number(Math.ceil(cuttingsFor(WANTED, stages))))}{' '}
          {open.length > 0 && words.open(list(open.map(({ stage }) => names[stage as StageName])))}
        </p>
      )}
    </Section>
  );
}
