import { SelectField } from '../../../forms/fields';
import { supervisorWords } from '../../../words/supervisor';
import type { SheetColumn } from './cells';
import { headingName } from './asked';
import type { Heading, Known } from './headings';

interface Props {
  columns: readonly SheetColumn[];
  /** What a column may be. */
  headings: readonly Known[];
  onChoose: (at: number, heading: Heading | '') => void;
}

/** Columns that do not say by themselves what they are: each is one of the headings, or is left out. */
export function ColumnMatch({ columns, headings, onChoose }: Props) {
  const words = supervisorWords.value.sheet;
  const asked = columns.filter(({ asks }) => asks);
  if (asked.length === 0) return null;
  return (
    <fieldset class="column-match">
      <legend>{words.match}</legend>
      {asked.map(({ at, written, heading }) => (
        <SelectField
          key={at}
          label={words.columnIs(at + 1, written)}
          value={heading}
          none={words.leftOut}
          options={headings.map(({ heading: each }) => ({ value: each, label: headingName(each) }))}
          onChoose={(chosen) => onChoose(at, chosen as Heading | '')}
        />
      ))}
    </fieldset>
  );
}
