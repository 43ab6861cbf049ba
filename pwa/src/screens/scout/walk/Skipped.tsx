import { Button } from '../../../parts/Button';
import { sayNotSaved } from '../../../parts/Toast';
import { guideWords, walkWords } from '../../../words/rooms';
import type { Course, SkippedPlace } from './course';

interface Props {
  course: Course;
  /** Goes back to one; nothing where the walk takes no more pots. */
  onBack: ((skipped: SkippedPlace) => Promise<void>) | undefined;
}

/** The pots of a walk that were skipped, each with why, and the way back to it. */
export function Skipped({ course: { skipped }, onBack }: Props) {
  const words = walkWords.value;
  if (skipped.length === 0) return null;
  return (
    <section class="skipped">
      <h3>{words.skippedPots(skipped.length)}</h3>
      <ul class="facts">
        {skipped.map((each) => (
          <li key={each.id}>
            <span>
              {guideWords.value.rowOnly(each.place.row)} <span class="small quiet">{words.skipWhy[each.why]}</span>
            </span>
            {onBack && <Button onClick={() => void onBack(each).catch(sayNotSaved)}>{words.unskip}</Button>}
          </li>
        ))}
      </ul>
    </section>
  );
}
