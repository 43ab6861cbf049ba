import { percent } from '../words/format';

interface Props {
  name: string;
  classes: readonly { label: string; count: number; hint?: string }[];
}

/** How many pots fall in each class, as bars with their counts; the list is its own table. */
export function Counts({ name, classes }: Props) {
  const all = classes.reduce((sum, each) => sum + each.count, 0);
  const most = Math.max(1, ...classes.map((each) => each.count));
  return (
    <ol class="counts" aria-label={name}>
      {classes.map((each) => (
        <li key={each.label}>
          <span class="class">
            {each.label}
            {each.hint !== undefined && <span class="small quiet"> {each.hint}</span>}
          </span>
          <span class="amount" aria-hidden="true">
            <span style={{ width: `${(each.count / most) * 100}%` }} />
          </span>
          <span class="count">
            {each.count}
            {each.count > 0 && <span class="small quiet"> {percent(each.count / all)}</span>}
          </span>
        </li>
      ))}
    </ol>
  );
}
