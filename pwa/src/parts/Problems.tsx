import type { RefObject } from 'preact';

interface Props {
  /** For the form to move the focus here, so that a screen reader reads all of it. */
  box: RefObject<HTMLDivElement | null>;
  title: string;
  problems: readonly string[];
}

/** The field that says this problem below itself, or whose question the problem repeats; the first one where the problem is of all. */
function fieldOf(problem: string, form: ParentNode): Element | null {
  const said = [...form.querySelectorAll('.say.wrong')].find((each) => each.textContent?.includes(problem));
  const asked = () =>
    [...form.querySelectorAll('legend, label')].find(
      ({ textContent }) => textContent !== null && textContent !== '' && problem.includes(textContent),
    );
  return (said ?? asked())?.closest('.field, fieldset') ?? form.querySelector('.field, fieldset');
}

function leadTo(problem: string, form: ParentNode | null): void {
  const field = form && fieldOf(problem, form);
  // Its words too, which stand above what is focused.
  field?.scrollIntoView({ block: 'center' });
  field?.querySelector<HTMLElement>('input, select, textarea, button')?.focus({ preventScroll: true });
}

/** All that keeps a form from being saved, each leading to its field. */
export function Problems({ box, title, problems }: Props) {
  return (
    <div class="problems" ref={box} tabIndex={-1} role="alert">
      <b>{title}</b>
      <ul>
        {problems.map((problem) => (
          <li key={problem}>
            <button type="button" onClick={(event) => leadTo(problem, event.currentTarget.closest('form, main'))}>
              {problem}
            </button>
          </li>
        ))}
      </ul>
    </div>
  );
}
