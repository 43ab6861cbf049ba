import { supervisorWords } from '../../../words/supervisor';
import { PartsNav } from '../PartsNav';
import '../../../style/supervisor-plan.css';
import '../../../style/supervisor-setup.css';

const places = { beds: '/setup', people: '/setup/people', in: '/in', out: '/out', programs: '/programs' } as const;

type PartName = keyof typeof places;

/** The parts of setting a nursery up, each with an address of its own. */
export function SetupParts({ here }: { here: PartName }) {
  const words = supervisorWords.value.nursery;
  return (
    <PartsNav
      label={words.parts}
      parts={(Object.keys(places) as PartName[]).map((part) => ({
        to: places[part],
        name: words.part[part],
        isHere: part === here,
      }))}
    />
  );
}
