import type { RefObject } from 'preact';

interface Props {
  /** For the form to move the focus here, so that a screen reader reads all of it. */
  box: RefObject<HTMLDivElement | null>;
  title: string;
  problems: readonly string[];
}

/** All that keeps a form from being saved. */
export function Problems({ box, title, problems }: Props) {
  return (
    <div class="problems" ref={box} tabIndex={-1} role="alert">
      <b>{title}</b>
      <ul>
        {problems.map((problem) => (
          <li key={problem}>{problem}</li>
        ))}
      </ul>
    </div>
  );
}
