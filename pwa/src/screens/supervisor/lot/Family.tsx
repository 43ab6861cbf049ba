import { Fragment } from 'preact';
import type { LotBrief, LotView } from '../../../../../schema/types';
import { Link } from '../../../router';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { estimate, points } from '../../../words/format';
import { lotLine } from '../../../words/names';
import { Section } from '../Page';

/** Where the lot came from and what came from it, as a tree that reads from left to right. */
export function Family({ view }: { view: LotView }) {
  const words = supervisorWords.value.lot;
  const { parent, children, lot } = view;
  const { mother, daughters = [] } = view.cuttings ?? {};
  const from = [
    { title: words.parent, lots: parent ? [parent] : [] },
    { title: words.mother, lots: mother ? [mother] : [] },
  ];
  const onward = [
    { title: words.children, lots: children },
    { title: words.daughters, lots: daughters },
  ];
  const isAlone = [...from, ...onward].every(({ lots }) => lots.length === 0);
  return (
    <Section id="family" title={words.familyTitle}>
      {isAlone ? (
        <p class="quiet">{words.familyNone}</p>
      ) : (
        <div class="family">
          <Members of={from} />
          <div>
            <h3 class="small quiet">{words.thisLot}</h3>
            <ul>
              <li class="member self">
                <b>{lotLine(lot)}</b>
                <span class="small quiet">{appWords.value.common.pots(lot.pots)}</span>
              </li>
            </ul>
          </div>
          <Members of={onward} />
        </div>
      )}
    </Section>
  );
}

/** Lots that stand on one side of this one, under what they are to it. */
function Members({ of }: { of: readonly { title: string; lots: readonly LotBrief[] }[] }) {
  const some = of.filter(({ lots }) => lots.length > 0);
  if (some.length === 0) return null;
  return (
    <div>
      {some.map(({ title, lots }) => (
        <Fragment key={title}>
          <h3 class="small quiet">{title}</h3>
          <ul>
            {lots.map((one) => (
              <Member key={one.id} lot={one} />
            ))}
          </ul>
        </Fragment>
      ))}
    </div>
  );
}

function Member({ lot }: { lot: LotBrief }) {
  return (
    <li class="member">
      <Link to={`/lots/${lot.id}`}>{lotLine(lot)}</Link>
      <span class="small quiet">
        {appWords.value.common.pots(lot.pots)}
        {lot.uniformity.known &&
          ` · ${supervisorWords.value.pages.overview.uniformity(estimate(lot.uniformity, points))}`}
      </span>
    </li>
  );
}
