import { Link } from '../../../router';
import { supervisorWords } from '../../../words/supervisor';
import { Section } from '../Page';
import { addressOfCultivar, cultivarsOf } from './crops';

/** The cultivars of a crop, each with a page of its own. */
export function CultivarList({ crop }: { crop: string }) {
  const words = supervisorWords.value.crops;
  const all = cultivarsOf(crop);
  return (
    <Section title={words.cultivar.title}>
      <p class="intro quiet">{all.length === 0 ? words.cultivar.none : words.cultivar.intro}</p>
      <ul class="cultivars">
        {all.map(({ name, lots, own, differ }) => (
          <li key={name}>
            <Link to={addressOfCultivar(crop, name)} class="tap">
              {name}
            </Link>
            <span class="small quiet">
              {words.lots(lots)}, {words.cultivar.own(own)}
            </span>
            {differ > 0 && <span class="small attention">{words.differ(differ)}</span>}
          </li>
        ))}
      </ul>
    </Section>
  );
}
