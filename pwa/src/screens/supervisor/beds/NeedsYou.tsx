import { useEffect, useRef, useState } from 'preact/hooks';
import type { AttentionItem, AttentionView, BedBrief } from '../../../../../schema/types';
import { placeAfter } from '../../../parts/focus';
import { unbroken } from '../../../parts/Unbroken';
import { Link } from '../../../router';
import { lotField } from '../../../words/entry';
import { ago } from '../../../words/format';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { describe, describeAnswer, isOfBed } from './attentionWords';
import { BackUpNow, LastBackup } from './Backup';
import { MiniStrip } from './MiniStrip';
import { OnTheWay } from './OnTheWay';
import { FIRST, toBed } from './place';
import { bringBack, keepValue, settle } from './putAway';
import { SendScout, Snooze } from './RowForms';

interface Props {
  view: AttentionView;
  /** The open ones, without what was put away on this page just now. */
  items: readonly AttentionItem[];
  beds: ReadonlyMap<string, BedBrief>;
  all: boolean;
  /** The bed that is open beside the list. */
  here?: string;
  /** The address of this page with all of the list, or with the first of it. */
  toAll: string;
  onPutAway: (id: string, isAway: boolean) => void;
}

/** What needs a supervisor, the most urgent first. */
export function NeedsYou({ view, items, beds, all, here, toAll, onPutAway }: Props) {
  const words = supervisorWords.value.morning;
  const [showsAway, showAway] = useState(false);
  const [brought, setBrought] = useState<readonly string[]>([]);
  // The server's next list says itself where they are.
  useEffect(() => setBrought([]), [view]);
  const away = view.away.filter(({ id }) => !brought.includes(id));
  const shown = all ? items : items.slice(0, FIRST);
  const bedOf = (item: AttentionItem) => beds.get(item.beds[0]?.bed ?? '');
  const bringToList = async (item: AttentionItem, head: string, from: Element) => {
    const goOn = placeAfter(from.closest('li'));
    if (!(await bringBack(item, head, () => onPutAway(item.id, true)))) return;
    setBrought((before) => [...before, item.id]);
    goOn();
  };
  return (
    <section class="needs" id="needs" aria-labelledby="needs-title">
      <header>
        <h2 id="needs-title">{words.title}</h2>
        {items.length > FIRST && (
          <p class="small">
            {words.some(shown.length, items.length)} ·{' '}
            <Link to={toAll} instead>
              {all ? words.fewer : words.all(items.length)}
            </Link>
          </p>
        )}
      </header>
      {items.length === 0 && <p class="quiet">{words.none}</p>}
      <ol>
        {shown.map((item, index) => (
          <li key={item.id} aria-current={item.beds.some(({ bed }) => bed === here) ? 'true' : undefined}>
            <span class="rank" aria-hidden="true">
              {index + 1}
            </span>
            <Row item={item} bed={bedOf(item)} onPutAway={onPutAway} />
          </li>
        ))}
      </ol>
      {away.length > 0 && (
        <>
          <p class="small away">
            {words.away(away.length)} ·{' '}
            <button type="button" class="link" aria-expanded={showsAway} onClick={() => showAway(!showsAway)}>
              {showsAway ? words.hide : words.show}
            </button>
          </p>
          {showsAway && (
            <ul class="awaylist">
              {away.map((item) => {
                const { head } = describe(item, bedOf(item));
                return (
                  <li key={item.id}>
                    <p>{head}</p>
                    <p class="small quiet">{describeAnswer(item)}</p>
                    <button
                      type="button"
                      class="link"
                      onClick={({ currentTarget }) => void bringToList(item, head, currentTarget)}
                    >
                      {words.bringBack}
                    </button>
                  </li>
                );
              })}
            </ul>
          )}
        </>
      )}
      {items.every(({ code }) => code !== 'backup') && (
        <p class="small quiet off-paper">
          <LastBackup backup={view.backup} />
        </p>
      )}
    </section>
  );
}

interface RowProps {
  item: AttentionItem;
  bed: BedBrief | undefined;
  onPutAway: (id: string, isAway: boolean) => void;
}

function Row({ item, bed, onPutAway }: RowProps) {
  const words = supervisorWords.value.morning;
  const [form, open] = useState<'snooze' | 'send' | ''>('');
  const { head, rest } = describe(item, bed);
  const own = useRef<HTMLDivElement>(null);
  const away = (done: boolean) => {
    if (!done) return;
    const goOn = placeAfter(own.current?.closest('li'));
    onPutAway(item.id, true);
    goOn();
  };
  const back = () => onPutAway(item.id, false);
  const one = item.beds[0];
  const isFound = isOfBed(item);
  return (
    <div class="item" ref={own}>
      <p class="said">
        {isFound && one ? <Link to={toBed(one.bed)}>{head}</Link> : <b>{head}</b>} <span>{unbroken(rest)}</span>
      </p>
      {item.answer && <p class="small attention">{describeAnswer(item)}</p>}
      {isFound && one && <OnTheWay bed={one.bed} />}
      <MiniStrip item={item} />
      <p class="verbs">
        {item.answers?.map(({ value, name }) => {
          const said = lotField(item.field ?? '', value, () => appWords.value.common.unknown);
          return (
            <button
              key={`${said} ${name}`}
              type="button"
              class="link"
              title={name}
              onClick={() => void keepValue(item, value, said, back).then(away)}
            >
              {words.keep(said)}
            </button>
          );
        })}
        {isFound && (
          <button type="button" class="link" aria-expanded={form === 'send'} onClick={() => open('send')}>
            {words.send}
          </button>
        )}
        <Way item={item} />
        {item.can_settle && (
          <button type="button" class="link" onClick={() => void settle(item, head, back).then(away)}>
            {words.settle}
          </button>
        )}
        <button type="button" class="link" aria-expanded={form === 'snooze'} onClick={() => open('snooze')}>
          {words.snooze}
        </button>
        {item.since > 0 && <span class="small quiet">{ago(item.since)}</span>}
      </p>
      {form === 'snooze' && <Snooze item={item} head={head} onClose={() => open('')} onDone={away} onUndone={back} />}
      {form === 'send' && one && <SendScout bed={one.bed} head={head} onClose={() => open('')} />}
    </div>
  );
}

/** The page on which a trouble that is not of one bed is put right. */
function Way({ item }: { item: AttentionItem }) {
  const words = supervisorWords.value.morning;
  switch (item.code) {
    case 'backup':
      return item.can_back_up ? <BackUpNow /> : null;
    case 'late':
      return <Link to={`/plan/${item.lot ?? ''}`}>{words.openPlan}</Link>;
    case 'overbooked':
      return <Link to="/plan/weeks">{words.openWeeks}</Link>;
    case 'disagree_field':
      return <Link to={`/lots/${item.lot ?? ''}`}>{words.openLot}</Link>;
    case 'quarantined':
      return <Link to="/phones">{words.lookAt(item.count ?? 0)}</Link>;
    case 'silent':
      return <Link to="/phones">{words.toPhones}</Link>;
    case 'webhook':
      return <Link to="/programs">{supervisorWords.value.programs.title}</Link>;
    case 'mistyped':
      return <Link to={toBed(item.beds[0]?.bed ?? '')}>{words.checkThem}</Link>;
    default:
      return null;
  }
}
