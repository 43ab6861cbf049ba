import { supervisorWords } from '../../../words/supervisor';

/** What the marks of the strips mean. The number is always printed on them as well. */
export function Ramp() {
  const { legend, legendNote } = supervisorWords.value.morning;
  return (
    <div class="ramp small">
      <ul>
        {(['light', 'middle', 'dark'] as const).map((tone) => (
          <li key={tone}>
            <span class={`swatch ${tone}`} aria-hidden="true">
              <span class="out" />
            </span>
            {{ light: legend.over, middle: legend.middle, dark: legend.under }[tone]}
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
      <p class="quiet">{legendNote}</p>
    </div>
  );
}
