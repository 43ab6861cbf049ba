import { Link } from '../../../router';
import { supervisorWords } from '../../../words/supervisor';
import '../../../style/supervisor-plan.css';
import '../../../style/supervisor-setup.css';

const places = { beds: '/setup', people: '/setup/people', in: '/in', out: '/out', programs: '/programs' } as const;

type PartName = keyof typeof places;

/** The parts of setting a nursery up, each with an address of its own. */
export function SetupParts({ here }: { here: PartName }) {
  const words = supervisorWords.value.nursery;
  return (
    <nav class="parts" aria-label={words.parts}>
      {(Object.keys(places) as PartName[]).map((part) => (
        <Link key={part} to={places[part]} class="button plain tap" aria-current={part === here ? 'page' : undefined}>
          {words.part[part]}
        </Link>
      ))}
    </nav>
  );
}
