import type { ComponentChildren } from 'preact';
import { Link } from '../../../router';
import { refresh, useView, type Loaded } from '../../../views/views';
import { supervisorWords } from '../../../words/supervisor';
import { Page } from '../Page';
import { PartsNav } from '../PartsNav';

const places = {
  lots: '/plan',
  weeks: '/plan/weeks',
  work: '/plan/work',
  tomorrow: '/plan/tomorrow',
  log: '/plan/applications',
  routes: '/plan/routes',
  cooler: '/plan/cooler',
  right: '/plan/right',
} as const;

type PartName = keyof typeof places;

/** The parts of the plan, each with an address of its own. */
export function Parts({ here }: { here: PartName }) {
  const words = supervisorWords.value.supply;
  const labels: Record<PartName, string> = {
    lots: words.toLots,
    weeks: words.toWeeks,
    work: words.toWork,
    tomorrow: words.toTomorrow,
    log: words.toLog,
    routes: words.toRoutes,
    cooler: words.toCooler,
    right: words.toRight,
  };
  return (
    <PartsNav
      label={words.parts}
      parts={(Object.keys(places) as PartName[]).map((part) => ({
        to: places[part],
        name: labels[part],
        isHere: part === here,
      }))}
    />
  );
}

/** The way to the sheet of the week to pin up. */
export function ToWeekSheet() {
  return (
    <Link to="/plan/week" class="button plain tap">
      {supervisorWords.value.week.toSheet}
    </Link>
  );
}

interface Props<View> {
  here: PartName;
  /** The server's view that the part shows. */
  path: string;
  title: () => string;
  children: (view: View, loaded: Loaded<View>) => ComponentChildren;
}

/** A part of the plan: its view of the server under its title and the way to the other parts. */
export function Part<View>({ here, path, title, children }: Props<View>) {
  const loaded = useView<View>(path);
  return (
    <Page here="plan" title={title} loaded={loaded} onTryAgain={() => void refresh(path)}>
      {(view) => (
        <>
          <Parts here={here} />
          {children(view, loaded)}
        </>
      )}
    </Page>
  );
}
