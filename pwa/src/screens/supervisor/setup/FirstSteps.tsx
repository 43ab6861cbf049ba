import type { BedsView } from '../../../../../schema/types';
import { beds, sites, spans } from '../../../journal/records/registers';
import { Link } from '../../../router';
import { supervisorWords } from '../../../words/supervisor';
import '../../../style/supervisor-setup.css';

/** The way from an empty nursery to its first walk: what is done, and the one step that comes next. Gone once a bed was walked. */
export function FirstSteps({ view }: { view: BedsView }) {
  const words = supervisorWords.value.nursery.first;
  const [site] = sites.value.values();
  const isWalked = view.houses.some((house) => house.beds.some((bed) => bed.last_walk || bed.under_way));
  if (isWalked) return null;
  const steps = [
    // The server names a new nursery itself, and leaves its time zone open.
    { key: 'name', to: '/setup', done: site?.time_zone !== undefined },
    { key: 'beds', to: '/setup', done: beds.value.size > 0 },
    { key: 'lots', to: '/in', done: spans.value.size > 0 },
    { key: 'people', to: '/setup/people', done: view.phones.paired > 1 },
    { key: 'walk', to: '/today', done: false },
  ] as const;
  const next = steps.find(({ done }) => !done)?.key;
  return (
    <section class="first-steps" aria-labelledby="first-steps-title">
      <h2 id="first-steps-title">{words.title}</h2>
      <ol>
        {steps.map(({ key, to, done }) => (
          <li key={key} class={done ? 'done' : ''} aria-current={key === next ? 'step' : undefined}>
            <Link to={to} class={`button tap ${key === next ? 'main' : 'plain'}`}>
              {words.step[key]}
            </Link>
            <span class="small">
              {done && <b>{words.done} </b>}
              {words.about[key]}
            </span>
          </li>
        ))}
      </ol>
    </section>
  );
}
