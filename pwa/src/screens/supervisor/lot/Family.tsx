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
  return (
    <Section title={words.familyTitle}>
      {!parent && children.length === 0 ? (
        <p class="quiet">{words.familyNone}</p>
      ) : (
        <div class="family">
          {parent && (
            <div>
              <h3 class="small quiet">{words.parent}</h3>
              <ul>
                <Member lot={parent} />
              </ul>
            </div>
          )}
          <div>
            <h3 class="small quiet">{words.thisLot}</h3>
            <ul>
              <li class="member self">
                <b>{lotLine(lot)}</b>
                <span class="small quiet">{appWords.value.common.pots(lot.pots)}</span>
              </li>
            </ul>
          </div>
          {children.length > 0 && (
            <div>
              <h3 class="small quiet">{words.children}</h3>
              <ul>
                {children.map((child) => (
                  <Member key={child.id} lot={child} />
                ))}
              </ul>
            </div>
          )}
        </div>
      )}
    </Section>
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
