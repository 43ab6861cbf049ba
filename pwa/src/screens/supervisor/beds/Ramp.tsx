import type { BedBrief } from '../../../../../schema/types';
import { aimOf } from '../../../journal/records/input';
import { supervisorWords } from '../../../words/supervisor';
import { MIDDLE_POINTS } from './Strip';

/** What the marks of the strips mean. The number is always printed on them as well. */
export function Ramp({ beds }: { beds: readonly BedBrief[] }) {
  const { legend, legendNote, legendOwn, legendCommon } = supervisorWords.value.morning;
  const aims = beds.filter(({ spans }) => spans.length > 0).map(({ spans }) => aimOf(spans.map(({ crop }) => crop)));
  const [first] = aims;
  const aim = first && aims.every((each) => each.aim === first.aim) ? Math.round(first.aim * 100) : undefined;
  const tones = {
    light: legend.over(aim),
    middle: legend.middle(aim, MIDDLE_POINTS),
    dark: legend.under(aim, MIDDLE_POINTS),
  };
  return (
    <div class="ramp small">
      <ul>
        {(['light', 'middle', 'dark'] as const).map((tone) => (
          <li key={tone}>
            <span class={`swatch ${tone}`} aria-hidden="true">
              <span class="out" />
            </span>
            {tones[tone]}
          </li>
        ))}
        <li>
          <span class="swatch few" aria-hidden="true" /> {legend.few}
        </li>
        <li>
          <span class="swatch walking" aria-hidden="true" /> {legend.walking}
        </li>
        <li>
          <span class="rank" aria-hidden="true">
            1
          </span>{' '}
          {legend.rank}
        </li>
        <li>
          <span class="swatch lots" aria-hidden="true">
            <span class="cut" />
          </span>{' '}
          {legend.lots}
        </li>
      </ul>
      <p class="quiet">
        {legendNote} {aims.every(({ own }) => own) ? legendOwn : legendCommon}
      </p>
    </div>
  );
}
