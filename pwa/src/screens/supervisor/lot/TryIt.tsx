import { useEffect, useRef, useState } from 'preact/hooks';
import type { TryAsk, TryView } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { DataTable } from '../../../parts/DataTable';
import { online } from '../../../state';
import { send } from '../../../views/views';
import { supervisorWords } from '../../../words/supervisor';
import { Trouble, useSending } from '../Trouble';
import type { RegisterEdit } from './RegisterEdit';
import { triedLines, whyNoneSafe } from './tryWords';

interface Props {
  edit: RegisterEdit;
  ask: TryAsk;
  /** All that keeps it from being tried. */
  problems: readonly string[];
  /** The booking that is tried ('' for a new one), where it is not lots. */
  booking?: string;
}

/** Tries what stands in a form, and shows what would come of it beside the plan as it stands. Nothing is written. */
export function TryIt({ edit, ask, problems, booking }: Props) {
  const words = supervisorWords.value.plan;
  const { trouble, attempt } = useSending();
  const [tried, setTried] = useState<{ asked: string; view: TryView } | undefined>(undefined);
  const asked = JSON.stringify(ask);
  const result = useRef<HTMLElement>(null);
  // It comes below the button, and often below what is in view.
  useEffect(() => result.current?.scrollIntoView?.({ block: 'nearest' }), [tried]);
  const why = tried ? whyNoneSafe(tried.view) : [];
  const tryIt = () => {
    edit.form.trying();
    if (problems.length > 0) return;
    void attempt(async () => setTried({ asked, view: await send<TryView>('/api/try', ask) }));
  };
  return (
    <>
      <p class="actions">
        <Button disabled={!online.value} onClick={tryIt}>
          {words.tryIt}
        </Button>
        {!online.value && <span class="quiet">{words.needsServer}</span>}
      </p>
      <Trouble said={trouble} />
      {tried && (
        <section aria-live="polite" ref={result}>
          {tried.asked !== asked && <p class="attention">{words.tried.old}</p>}
          <DataTable
            caption={words.tried.title}
            stacks
            rows={triedLines(tried.view, booking)}
            keyOf={({ what }) => what}
            columns={[
              { key: 'what', title: words.tried.what, heads: true, cell: ({ what }) => what },
              { key: 'now', title: words.tried.now, cell: ({ now }) => now },
              {
                key: 'tried',
                title: words.tried.would,
                cell: ({ now, tried: would }) => (now === would ? would : <b>{would}</b>),
              },
            ]}
          />
          {why.length > 0 && (
            <>
              <h3>{words.tried.whyNone}</h3>
              <ul>
                {why.map((said) => (
                  <li key={said}>{said}</li>
                ))}
              </ul>
            </>
          )}
        </section>
      )}
    </>
  );
}
