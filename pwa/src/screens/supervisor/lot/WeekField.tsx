import { SelectField } from '../../../forms/fields';
import { describeWeek, weeksFrom } from './weeks';

interface Props {
  label: string;
  /** An ISO week; '' while none is set. */
  value: string;
  none: string;
  onChoose: (week: string) => void;
}

/** A ship week, chosen by its number and the Monday that it begins on. */
export function WeekField(props: Props) {
  const weeks = weeksFrom(Date.now(), props.value);
  return <SelectField {...props} options={weeks.map((week) => ({ value: week, label: describeWeek(week) }))} />;
}
