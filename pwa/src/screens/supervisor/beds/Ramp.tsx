import { supervisorWords } from '../../../words/supervisor';

/** What the shades of the plan mean. The number is always printed on them as well. */
export function Ramp() {
  const words = supervisorWords.value.pages.overview;
  const steps = [words.legendUnder(50), ...[50, 60, 70, 80].map((low) => words.legendFrom(low)), words.legendOver(90)];
  return (
    <div class="ramp small">
      <p>
        <b>{words.legend}.</b> <span class="quiet">{words.legendNote}</span>
      </p>
      <ul>
        {steps.map((step, index) => (
          <li key={step}>
            <span class={`swatch u${index}`} /> {step}
          </li>
        ))}
        <li>
          <span class="swatch few" /> {words.legendFew}
        </li>
        <li>
          <span class="swatch never" /> {words.legendNever}
        </li>
      </ul>
    </div>
  );
}
