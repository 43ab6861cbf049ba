/** The houses of which this phone has not the notes by itself: each with how many beds, whether it is open here, and how to open it. */
import { carried } from '../../../journal/records/carried';
import { houses } from '../../../journal/records/registers';
import { appWords } from '../../../words';
import { amendWords } from '../../../words/rooms';
import { bedsInUse, HouseButtons, HouseState } from '../../../parts/House';

export function OtherHouses() {
  const words = amendWords.value.houses;
  const own = carried.value?.own;
  const others = [...houses.value.values()]
    .map((house) => ({ ...house, beds: bedsInUse(house.id) }))
    .filter(({ id, beds }) => own && !own.includes(id) && beds > 0)
    .sort((a, b) => (a.order ?? Number.MAX_SAFE_INTEGER) - (b.order ?? Number.MAX_SAFE_INTEGER));
  if (others.length === 0) return null;
  return (
    <section>
      <h2>{words.title}</h2>
      <p class="small quiet">{words.explain}</p>
      <ul class="facts">
        {others.map(({ id, name, beds }) => (
          <li key={id}>
            <span>
              <b>{name ?? appWords.value.common.unknown}</b>
              <HouseState house={id} beds={beds} />
            </span>
            <HouseButtons house={id} />
          </li>
        ))}
      </ul>
    </section>
  );
}
