import { SelectField } from '../../../forms/fields';
import { supervisorWords } from '../../../words/supervisor';
import type { SheetColumn } from './cells';
import { headings, type Heading } from './headings';

interface Props {
  columns: readonly SheetColumn[];
  onChoose: (at: number, heading: Heading | '') => void;
}

/** Columns that do not say by themselves what they are: each is one of the headings, or is left out. */
export function ColumnMatch({ columns, onChoose }: Props) {
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
          options={headings.map((each) => ({ value: each.heading, label: words.heading[each.heading] }))}
          onChoose={(chosen) => onChoose(at, chosen as Heading | '')}
        />
      ))}
    </fieldset>
  );
}
