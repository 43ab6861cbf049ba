import type { LotView } from '../../../../../schema/types';
import { supervisorWords } from '../../../words/supervisor';
import { number } from '../../../words/format';
import { Bookings } from './Bookings';
import { ToGrades } from '../GradeOut';
import { Section } from '../Page';
import { PromiseLines, Undecided } from '../PromiseLines';

/** What may be promised of the lot on all its beds, and what is booked of it. */
export function LotPromise({ view }: { view: LotView }) {
  const words = supervisorWords.value.promise;
  const { promise, lot } = view;
  const leans = (view.leans ?? []).reduce((sum, { pots }) => sum + pots, 0);
  const last = view.scores.at(-1)?.score;
  return (
    <Section id="bookings" title={words.title}>
      {promise ? (
        <>
          <PromiseLines promise={promise} note={words.alone} known={last} />
          {promise.lines.length > 0 && promise.pots_on_bed < lot.pots && (
            <p class="small">{words.part(number(promise.pots_on_bed), number(lot.pots))}</p>
          )}
          {leans > 0 && <p>{words.leans(leans)}</p>}
          <Undecided count={promise.seen - promise.whole} lacks={promise.lacks} />
        </>
      ) : lot.stock ? (
        <p class="quiet">{words.notForSale}</p>
      ) : (
        <>
          <p class="quiet">{words.noGrades}</p>
          <ToGrades crops={[lot.crop]} />
        </>
      )}
      <Bookings view={view} />
    </Section>
  );
}
