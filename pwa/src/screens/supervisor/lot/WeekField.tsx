import { useId } from 'preact/hooks';
import { weekSaid, weeksFrom } from './weeks';

interface Props {
  label: string;
  /** An ISO week; '' while none is set. */
  value: string;
  none: string;
  onChoose: (week: string) => void;
}

/** A ship week, chosen by its number and the Monday that it begins on. */
export function WeekField({ label, value, none, onChoose }: Props) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <select id={id} value={value} onChange={(event) => onChoose(event.currentTarget.value)}>
        <option value="">{none}</option>
        {weeksFrom(Date.now(), value).map((week) => (
          <option key={week} value={week}>
            {weekSaid(week)}
          </option>
        ))}
      </select>
    </div>
  );
}
