/** Which screen an address shows, and what lies over every screen: notices that need a step, and toasts. */
import { signal } from '@preact/signals';
import type { ComponentType } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { Button } from './parts/Button';
import { Toasts } from './parts/Toast';
import { Notices } from './screens/scout/Notices';
import { Today } from './screens/scout/today/Today';
import { go, route, Title } from './router';
import { me } from './state';
import { tab } from './journal/store/base';
import { failed } from './journal/start';
import { packsScript } from './journal/store/packs/script';
import { ready } from './journal/records/registers';
import { appWords } from './words';

type Screen = ComponentType<{ id?: string }>;
/** A screen whose script is fetched when it is first shown, or a little before. */
type Later = Screen & { fetch: () => Promise<void> };

// What computes a bed is a good part of the script and not needed to see which beds are due.
const bed = later(() => import('./screens/scout/walking').then((it) => it.Bed as Screen));
const walk = later(() => import('./screens/scout/walking').then((it) => it.Walk as Screen));
const end = later(() => import('./screens/scout/walking').then((it) => it.End as Screen));
const pair = later(() => import('./screens/scout/pairing/Pair').then((it) => it.Pair as Screen));
const settings = later(() => import('./screens/scout/settings/Settings').then((it) => it.Settings as Screen));
const notes = later(() => import('./screens/scout/notes/Notes').then((it) => it.Notes as Screen));
const tasks = later(() => import('./screens/scout/tasks/WorkList').then((it) => it.WorkList as Screen));
const broken = later(() => import('./screens/scout/notes/Broken').then((it) => it.Broken as Screen));
const help = later(() => import('./screens/scout/settings/Help').then((it) => it.Help as Screen));
const group = later(() => import('./screens/supervisor/group/Group').then((it) => it.default as Screen));
const spot: Record<string, Screen> = {
  work: later(() => import('./screens/work/Work').then((it) => it.default as Screen)),
  lot: later(() => import('./screens/work/LotCard').then((it) => it.default as Screen)),
  scan: later(() => import('./screens/work/scan/Scan').then((it) => it.default as Screen)),
  tags: later(() => import('./screens/work/tags/Tags').then((it) => it.default as Screen)),
};
const supervisorPages: Record<string, Screen> = {
  beds: later(() => import('./screens/supervisor/beds/Beds').then((it) => it.default as Screen)),
  bed: later(() => import('./screens/supervisor/bed/Bed').then((it) => it.default as Screen)),
  lots: later(() => import('./screens/supervisor/lot/Lots').then((it) => it.default as Screen)),
  lot: later(() => import('./screens/supervisor/lot/Lot').then((it) => it.default as Screen)),
  days: later(() => import('./screens/supervisor/day/Day').then((it) => it.default as Screen)),
  plan: later(() => import('./screens/supervisor/plan/Plan').then((it) => it.default as Screen)),
  crops: later(() => import('./screens/supervisor/crops/Crops').then((it) => it.default as Screen)),
  crop: later(() => import('./screens/supervisor/crops/Crop').then((it) => it.default as Screen)),
  cultivar: later(() => import('./screens/supervisor/crops/Cultivar').then((it) => it.default as Screen)),
  scouts: later(() => import('./screens/supervisor/scouts/Scouts').then((it) => it.default as Screen)),
  phones: later(() => import('./screens/supervisor/phones/Phones').then((it) => it.default as Screen)),
  setup: later(() => import('./screens/supervisor/setup/Setup').then((it) => it.default as Screen)),
  out: later(() => import('./screens/supervisor/out/Out').then((it) => it.default as Screen)),
  programs: later(() => import('./screens/supervisor/programs/Programs').then((it) => it.default as Screen)),
  in: later(() => import('./screens/supervisor/sheet/SheetIn').then((it) => it.default as Screen)),
};

/** Fetches the scripts of a walk and of its pots at once where the address asks for one, while the records are still being read. */
export function fetchAhead(): void {
  const [first] = route.value.parts;
  // What went wrong is shown by the screen, which tries again.
  if (first === 'bed' || first === 'walk')
    for (const script of [walk.fetch(), packsScript()]) script.catch(() => undefined);
}

export function App() {
  const { Shown, id } = screen();
  return (
    <>
      <Notices />
      {Shown ? <Shown key={`${route.value.path}`} {...(id === undefined ? {} : { id })} /> : <Waiting />}
      <Toasts />
    </>
  );
}

function screen(): { Shown: Screen | undefined; id?: string | undefined } {
  const [first = '', id, more] = route.value.parts;
  if (first === 'pair') return { Shown: pair, id };
  if (first === 'settings') return { Shown: settings };
  if (first === 'help') return { Shown: help, id };
  // Whoever has a link of it need not be paired.
  if (first === 'group') return { Shown: group };
  if (failed.value) return { Shown: broken };
  if (!ready.value) return { Shown: Starting };
  if (!me.value) return { Shown: pair };
  if (first === '') return { Shown: me.value.role === 'scout' ? Today : ToBeds };
  if (first === 'today') return { Shown: Today };
  if (first === 'bed') return { Shown: bed, id };
  if (first === 'walk') return { Shown: more === 'end' ? end : walk, id };
  if (first === 'notes') return { Shown: notes };
  if (first === 'tasks') return { Shown: tasks };
  if (Object.hasOwn(spot, first)) return { Shown: spot[first], id };
  const one = id !== undefined && ['beds', 'lots', 'crops'].includes(first) ? first.slice(0, -1) : first;
  const page = supervisorPages[one === 'crop' && more !== undefined ? 'cultivar' : one];
  return page ? { Shown: page, id } : { Shown: Nowhere };
}

function ToBeds() {
  useEffect(() => go('/beds', { instead: true }), []);
  return <Waiting />;
}

/** The same as index.html has it, so that nothing moves between the first paint and the first screen. */
function Starting() {
  return <main class="scout">{tab.value === 'blocked' ? <Title text="Bedwalk" /> : <p class="quiet">Bedwalk</p>}</main>;
}

function Waiting() {
  return (
    <main class="scout">
      <p class="quiet">{appWords.value.common.loading}</p>
    </main>
  );
}

function Nowhere() {
  return (
    <main class="scout">
      <Title text={appWords.value.scout.nowhere.title} />
      <p>{appWords.value.common.problem.notFound}</p>
      <Button kind="main" onClick={() => go('/')}>
        {appWords.value.scout.nowhere.home}
      </Button>
    </main>
  );
}

/** Shown where the browser withholds what keeps notes: half an app would be worse than none. */
export function Unable() {
  return (
    <main class="scout">
      <h1>Bedwalk</h1>
      <p>{appWords.value.scout.unable}</p>
    </main>
  );
}

/** Every script is precached, so a later one comes out of range too. */
function later(load: () => Promise<Screen>): Later {
  const loaded = signal<Screen | undefined>(undefined);
  const fetch = async () => {
    loaded.value ??= await load();
  };
  function Later(props: { id?: string }) {
    const [failed, fail] = useState(false);
    useEffect(() => {
      if (!loaded.value) fetch().catch(() => fail(true));
    }, []);
    const Loaded = loaded.value;
    if (Loaded) return <Loaded {...props} />;
    return failed ? <Missing /> : <Waiting />;
  }
  return Object.assign(Later, { fetch });
}

function Missing() {
  return (
    <main class="scout">
      <Title text="Bedwalk" />
      <p>{appWords.value.scout.missing}</p>
      <Button kind="main" onClick={() => location.reload()}>
        {appWords.value.common.tryAgain}
      </Button>
    </main>
  );
}
