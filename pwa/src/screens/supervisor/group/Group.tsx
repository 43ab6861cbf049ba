/** Several nurseries side by side, for whoever has a link of them: what stands after # is its secret part, which browsers do not send in an address. */
import { useEffect, useState } from 'preact/hooks';
import { Button } from '../../../parts/Button';
import { ask, Refusal } from '../../../journal/wire';
import { Title } from '../../../router';
import { appWords } from '../../../words';
import { untilWhen } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import type { GroupView } from '../../../../../schema/types';
import { inWords } from '../Trouble';
import { Even, Grades, Weeks } from './GroupTables';
import { missing, named } from './groupWords';
import '../../../style/supervisor.css';
import '../../../style/supervisor-group.css';

/** The server waits half a minute for each nursery. */
const LEAST_MS = 60_000;

interface State {
  /** The link that the rest is of. */
  secret?: string;
  view?: GroupView;
  trouble?: string;
  asking: boolean;
}

export default function Group() {
  const words = supervisorWords.value.group;
  const [state, set] = useState<State>({ asking: true });
  const load = async () => {
    const secret = location.hash.slice(1);
    set((before) => ({ ...(before.secret === secret ? before : {}), secret, asking: true }));
    const next = await asked(secret);
    // Another link was opened meanwhile, and is asked for by itself.
    if (location.hash.slice(1) !== secret) return;
    // What was shown stays where the server cannot be reached, and goes where the link is good no more.
    set((before) => ({
      secret,
      asking: false,
      ...(next.keeps && before.view ? { view: before.view } : {}),
      ...(next.view ? { view: next.view } : {}),
      ...(next.trouble ? { trouble: next.trouble } : {}),
    }));
  };
  useEffect(() => {
    const again = () => void load();
    again();
    addEventListener('hashchange', again);
    addEventListener('online', again);
    return () => {
      removeEventListener('hashchange', again);
      removeEventListener('online', again);
    };
  }, []);
  const { view, trouble, asking } = state;
  return (
    <div class="supervisor group">
      <header class="head">
        <span class="site">{view ? words.for(view.for) : words.nurseries}</span>
      </header>
      <main id="content">
        <Title text={words.title} />
        {trouble && (
          <p class="attention" role="alert">
            {view ? `${trouble} ${supervisorWords.value.pages.data.kept(untilWhen(view.made_at))}` : trouble}
          </p>
        )}
        <div class="update">
          <Button disabled={asking} onClick={() => void load()}>
            {view ? words.update : appWords.value.common.tryAgain}
          </Button>
          <span class="small quiet" role="status">
            {asking ? words.asking : view ? supervisorWords.value.pages.data.asOf(untilWhen(view.made_at)) : ''}
          </span>
        </div>
        {asking && !view && <p class="waiting">{words.asking}</p>}
        {view && <Shown view={view} />}
      </main>
    </div>
  );
}

function Shown({ view }: { view: GroupView }) {
  const words = supervisorWords.value.group;
  const all = named(view);
  const lacks = all.flatMap(missing);
  return (
    <>
      <p class="quiet">{words.intro}</p>
      {lacks.length > 0 && (
        <section class="section">
          <h2>{words.missing.title}</h2>
          <ul class="missing">
            {lacks.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </section>
      )}
      {/* Of nurseries that did not answer it is not known that they have nothing. */}
      {all.some((one) => one.brief) && (
        <>
          <Even all={all} />
          <Grades all={all} />
          <Weeks all={all} over={false} />
          <Weeks all={all} over />
        </>
      )}
    </>
  );
}

/** Asks with the link alone, and without the cookie of a phone that this browser may be. */
async function asked(secret: string): Promise<{ view?: GroupView; trouble?: string; keeps?: boolean }> {
  const words = supervisorWords.value.group;
  if (secret === '') return { trouble: words.noLink };
  try {
    const init: RequestInit = { headers: { authorization: `Bearer ${secret}` }, credentials: 'omit' };
    const view = (await ask('/api/group', init, LEAST_MS)) as GroupView | undefined;
    // Somebody else's answer has none.
    if (!Array.isArray(view?.nurseries)) throw new Refusal('portal');
    return { view };
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    switch (error.problem?.code) {
      case 'link_unknown':
        return { trouble: words.unknown };
      case 'link_revoked':
        return { trouble: words.revoked };
      case 'group_away':
        return { trouble: words.away, keeps: true };
      default:
        return { trouble: inWords(error), keeps: true };
    }
  }
}
