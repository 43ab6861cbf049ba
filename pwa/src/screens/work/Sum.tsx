/** What a form says that only computes: what comes out, or why nothing does, and the way back. */
import { Button } from '../../parts/Button';
import { back } from '../../router';
import { workWords } from '../../words/rooms';
import { addressOf, type Location } from '../../forms/place';

/** What came out, and what is said besides; or what keeps anything from coming out. */
export type Sum = { problem: string } | { headline: string; lines: readonly string[] };

/** @param not what is said while something is missing or cannot be read, which stands at its field */
export function Answered({ sum, not }: { sum: Sum | undefined; not: string }) {
  if (!sum) return <p class="quiet">{not}</p>;
  if ('problem' in sum) {
    return (
      <p class="problems" role="alert">
        {sum.problem}
      </p>
    );
  }
  return (
    <div class="closes" role="status">
      <p class="headline">{sum.headline}</p>
      {sum.lines.map((line) => (
        <p key={line}>{line}</p>
      ))}
    </div>
  );
}

export function BackAlone({ place }: { place: Location }) {
  return (
    <div class="foot">
      <Button size="walk" onClick={() => back(addressOf('', place))}>
        {workWords.value.work.sheet.back}
      </Button>
    </div>
  );
}
