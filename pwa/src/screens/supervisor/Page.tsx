import type { ComponentChildren } from 'preact';
import { useEffect } from 'preact/hooks';
import { Button } from '../../parts/Button';
import { Link, Title } from '../../router';
import { sites } from '../../journal/records/registers';
import { me } from '../../state';
import { inWords } from './Trouble';
import { appWords } from '../../words';
import { supervisorWords } from '../../words/supervisor';
import { Foot } from './Foot';
import { atWhen, dateTime, otherClock, percent, untilWhen } from '../../words/format';
import type { Loaded } from '../../views/views';
import '../../style/supervisor.css';
import '../../style/supervisor-beds.css';
import '../../style/supervisor-bed.css';
import '../../style/supervisor-lot.css';
import '../../style/supervisor-print.css';

type PageName = 'beds' | 'lots' | 'plan' | 'crops' | 'scouts' | 'phones' | 'setup';

interface Props<View> {
  here: PageName;
  title: (view: View | undefined) => string;
  loaded: Loaded<View>;
  onTryAgain: () => void;
  /** At the right end of the page's head; what the data are as of, unless given. */
  state?: (view: View) => ComponentChildren;
  /** On paper it says as of when it is. */
  isReport?: boolean;
  /** Above the title: the way up. */
  above?: (view: View) => ComponentChildren;
  /** Beside the content at a desk, before it on a phone. */
  aside?: ((view: View) => ComponentChildren) | undefined;
  children: (view: View) => ComponentChildren;
}

const places: readonly PageName[] = ['beds', 'lots', 'plan', 'crops', 'scouts', 'phones', 'setup'];

/** The frame of every page at the desk: where one is, how old the data are, and what to do when there are none. */
export function Page<View>(props: Props<View>) {
  const { here, title, loaded, onTryAgain, state, isReport, above, aside, children } = props;
  const words = supervisorWords.value.pages;
  const { view, trouble, at, fresh } = loaded;
  const zoneNote = otherClock.value?.note(Date.now()) ?? '';
  // In the head, where it moves nothing: newer numbers are on their way many times a day.
  const stateOf = (shown: View) =>
    loaded.slow ? <b>{words.data.awaited(untilWhen(at))}</b> : (state?.(shown) ?? words.data.asOf(untilWhen(at)));
  useEffect(() => {
    // The page may have come after the router looked for its title; then the screen reader does not know it yet.
    if (document.activeElement === document.body)
      document.querySelector<HTMLElement>('main h1')?.focus({ preventScroll: true });
  }, []);
  return (
    <div class="supervisor">
      <a class="skip" href="#content">
        {words.skip}
      </a>
      <header class="head">
        <span class="site">{[...sites.value.values()][0]?.name ?? me.value?.site_name}</span>
        <nav aria-label={words.nav}>
          {places.map((place) => (
            <Link key={place} to={`/${place}`} aria-current={place === here ? 'page' : undefined}>
              {words[place]}
            </Link>
          ))}
        </nav>
        <p class="small state">{view ? stateOf(view) : null}</p>
        <p class="unseen" role="status">
          {view && loaded.slow ? words.data.awaited(untilWhen(at)) : ''}
        </p>
        <Link to="/today" class="afield">
          {words.walk}
        </Link>
        <Link to="/settings" class="settings">
          {words.settings}
        </Link>
      </header>
      <div class={aside ? 'beside' : undefined}>
        <main id="content">
          {/* Above the title: what follows it is drawn by its place next to it. */}
          {zoneNote !== '' && <p class="small quiet zone off-paper">{zoneNote}</p>}
          {view && above && <p class="above">{above(view)}</p>}
          <Title text={title(view)} />
          {view && trouble && !fresh && <p class="stale">{`${inWords(trouble)} ${words.data.kept(atWhen(at))}`}</p>}
          {view && isReport && <p class="small on-paper-only">{words.data.asOf(dateTime(at, 0))}</p>}
          {view ? children(view) : <Waiting loaded={loaded} onTryAgain={onTryAgain} />}
        </main>
        {view && aside?.(view)}
      </div>
      <Foot />
    </div>
  );
}

function Waiting({ loaded, onTryAgain }: { loaded: Loaded<unknown>; onTryAgain: () => void }) {
  const words = supervisorWords.value.pages.data;
  if (loaded.trouble) {
    return (
      <div class="empty" role="alert">
        <h2>{words.failed}</h2>
        <p>{inWords(loaded.trouble)}</p>
        <div class="actions">
          <Button kind="main" onClick={onTryAgain}>
            {appWords.value.common.tryAgain}
          </Button>
          <Link to="/beds" class="button plain tap">
            {words.toBeds}
          </Link>
        </div>
      </div>
    );
  }
  return (
    <div class="waiting" role="status">
      <progress value={loaded.arriving} max={1} aria-label={words.loading} />
      <p>{waitingFor(loaded)}</p>
    </div>
  );
}

function waitingFor({ arriving, slow }: Loaded<unknown>): string {
  const words = supervisorWords.value.pages.data;
  if (arriving !== undefined) return appWords.value.scout.firstReading.share(percent(arriving));
  return slow ? words.slow : words.loading;
}

interface SectionProps {
  title: string;
  id?: string;
  class?: string;
  children: ComponentChildren;
}

/** A titled part of a page. */
export function Section({ title, id, class: more = '', children }: SectionProps) {
  return (
    <section class={`section ${more}`} id={id}>
      <h2>{title}</h2>
      {children}
    </section>
  );
}
