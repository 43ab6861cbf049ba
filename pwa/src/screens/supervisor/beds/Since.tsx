import type { BedsView, Change } from '../../../../../schema/types';
import { Link } from '../../../router';
import { supervisorWords } from '../../../words/supervisor';
import { when } from '../../../words/format';
import { bedName, sentence } from '../names';

/** What changed since yesterday, what needs a step first, bed by bed. */
export function Since({ view }: { view: BedsView }) {
  const words = supervisorWords.value.pages;
  const beds = new Map(view.houses.flatMap((house) => house.beds).map((bed) => [bed.id, bed]));
  const byBed = new Map<string, Change[]>();
  for (const change of view.changes) byBed.set(change.bed, [...(byBed.get(change.bed) ?? []), change]);
  const groups = [...byBed.values()].sort((a, b) => Number(wants(b)) - Number(wants(a)));
  return (
    <aside class="since" aria-labelledby="since">
      <h2 id="since">{words.overview.since}</h2>
      {groups.length === 0 && <p class="quiet">{words.overview.sinceNone}</p>}
      <ul>
        {groups.map((changes) => {
          const [first] = changes;
          const bed = first && beds.get(first.bed);
          if (!first) return null;
          return (
            <li key={first.bed}>
              <Link to={`/beds/${first.bed}`} class={wants(changes) ? 'attention' : 'plain'}>
                {words.bedInHouse(bedName(first.bed_name), words.houseName(first.house))}
              </Link>
              {changes.map((change, index) => (
                <p key={`${change.finding.code} ${index}`}>
                  {sentence(change.finding, bed ?? { spans: [], entry_end: '', far_end: '' })}
                </p>
              ))}
              <p class="small quiet">{when(first.at)}</p>
            </li>
          );
        })}
      </ul>
    </aside>
  );
}

function wants(changes: readonly Change[]): boolean {
  return changes.some((change) => change.finding.attention);
}
