import { Link } from '../../../router';
import { supervisorWords } from '../../../words/supervisor';

/** The parts of the plan, each with an address of its own. */
export function Parts({
  here,
}: {
  here: 'lots' | 'weeks' | 'work' | 'tomorrow' | 'log' | 'routes' | 'cooler' | 'right';
}) {
  const words = supervisorWords.value.supply;
  return (
    <nav class="parts" aria-label={words.parts}>
      <Link to="/plan" class="button plain tap" aria-current={here === 'lots' ? 'page' : undefined}>
        {words.toLots}
      </Link>
      <Link to="/plan/weeks" class="button plain tap" aria-current={here === 'weeks' ? 'page' : undefined}>
        {words.toWeeks}
      </Link>
      <Link to="/plan/work" class="button plain tap" aria-current={here === 'work' ? 'page' : undefined}>
        {words.toWork}
      </Link>
      <Link to="/plan/tomorrow" class="button plain tap" aria-current={here === 'tomorrow' ? 'page' : undefined}>
        {words.toTomorrow}
      </Link>
      <Link to="/plan/applications" class="button plain tap" aria-current={here === 'log' ? 'page' : undefined}>
        {words.toLog}
      </Link>
      <Link to="/plan/routes" class="button plain tap" aria-current={here === 'routes' ? 'page' : undefined}>
        {words.toRoutes}
      </Link>
      <Link to="/plan/cooler" class="button plain tap" aria-current={here === 'cooler' ? 'page' : undefined}>
        {words.toCooler}
      </Link>
      <Link to="/plan/right" class="button plain tap" aria-current={here === 'right' ? 'page' : undefined}>
        {words.toRight}
      </Link>
    </nav>
  );
}
