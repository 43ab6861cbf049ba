import type { LotView, Share } from '../../../../../schema/types';
import { day, number, percent } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { Section } from '../Page';

/** Whether the part of its rooting is on a lot's page. */
export function hasRooting({ rooting, lot }: LotView): boolean {
  return rooting !== undefined || (lot.struck_on !== '' && lot.potted_on === '');
}

/** How many of its cuttings have rooted, beside other lots of its cultivar; nothing for a lot that was potted without a count. */
export function Rooting({ view }: { view: LotView }) {
  const words = supervisorWords.value.lot.rootingOf;
  const { rooting } = view;
  if (!rooting) {
    return hasRooting(view) ? (
      <Section id="rooting" title={words.title}>
        <p class="quiet">{words.notLooked}</p>
      </Section>
    ) : null;
  }
  const earlier = rooting.trays.filter(({ on }) => on !== rooting.on);
  return (
    <Section id="rooting" title={words.title}>
      <p>{words.now(rooted(rooting.share), day(rooting.on))}</p>
      {rooting.stuck > 0 && (
        <p>{words.expect(rooting.stuck, number(rooting.expected), number(rooting.low), number(rooting.high))}</p>
      )}
      {rooting.season.lots > 1 && (
        <p>{words.season(rooting.year, rooting.season.lots, rooted(rooting.season.share))}</p>
      )}
      {rooting.cultivar.lots > rooting.season.lots && (
        <p>{words.cultivar(rooting.cultivar.lots, rooted(rooting.cultivar.share))}</p>
      )}
      {rooting.cultivar.lots > 1 && <p class="small quiet">{words.differ}</p>}
      {earlier.length > 0 && (
        <>
          <h3>{words.earlier}</h3>
          <ul class="small">
            {earlier.map(({ on, share, words: comment }, i) => (
              <li key={i}>
                {words.tray(day(on), rooted(share))} {comment}
              </li>
            ))}
          </ul>
        </>
      )}
    </Section>
  );
}

function rooted({ x, n, interval }: Share): string {
  return supervisorWords.value.lot.rootingOf.of(number(x), n, percent(interval.low), percent(interval.high));
}
