import { useRef, useState } from 'preact/hooks';
import type { DecidedAll, QuarantinedView, QuarantinePage, QuarantineCount } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { say } from '../../../parts/Toast';
import { supervisorWords } from '../../../words/supervisor';
import { describeFault, isForOthers } from '../../../words/fault';
import { atWhen, number } from '../../../words/format';
import { refresh, send, useView } from '../../../views/views';
import { useBedNames } from '../names';
import { Section } from '../Page';
import { inWords, Trouble, useSending } from '../Trouble';
import { kindName, describeEntry } from '../../../words/entry';

/** Notes that are kept but not merged, each with the reason and what to do about it. */
export function Quarantine({
  notes,
  byDevice,
}: {
  notes: readonly QuarantinedView[];
  byDevice: readonly QuarantineCount[];
}) {
  const words = supervisorWords.value.phones;
  const all = byDevice.reduce((sum, each) => sum + each.count, 0);
  const more = notes.length < all;
  return (
    <Section title={words.waitTitle}>
      {notes.length === 0 ? (
        <p class="quiet">{words.waitNone}</p>
      ) : (
        <>
          <p>{words.waitIntro}</p>
          {byDevice
            .filter((each) => each.count > 1)
            .map((each) => (
              <AllOf key={each.device} of={each} more={more} />
            ))}
          {more && <p class="small quiet">{words.waitMore(number(notes.length), number(all))}</p>}
          <ul class="entries held">
            {notes.map((each) => (
              <Note key={each.id} note={each} />
            ))}
          </ul>
        </>
      )}
    </Section>
  );
}

/**
 * All that waits of one phone, decided in one go; what came since it was shown is left for later. Where the list below
 * does not show every note, all of this phone can be looked through here.
 */
function AllOf({ of, more }: { of: QuarantineCount; more: boolean }) {
  const words = supervisorWords.value.phones;
  const { trouble, attempt } = useSending();
  const [looking, look] = useState(false);
  const decide = async (decision: 'merge' | 'leave') => {
    await attempt(async () => {
      const { decided, quarantined } = await send<DecidedAll>('/api/quarantine/all', {
        device: of.device,
        up_to: of.up_to,
        decision,
      });
      say(words.decidedAll(number(decided), number(quarantined)));
      await refresh('phones');
    });
  };
  return (
    <details class="twin">
      <summary>{words.waitOf(bringerOf(of), number(of.count), atWhen(of.since))}</summary>
      <p class="small quiet">{words.allNote}</p>
      <Trouble said={trouble} />
      <div class="actions">
        <Button onClick={() => void decide('merge')}>{words.mergeAll}</Button>
        <Button onClick={() => void decide('leave')}>{words.leaveAll}</Button>
        {(more || looking) && (
          <Button aria-expanded={looking} onClick={() => look(!looking)}>
            {looking ? words.lookLess : words.lookAll(number(of.count))}
          </Button>
        )}
      </div>
      {looking && <PagesOf device={of.device} />}
    </details>
  );
}

/** Who brought the notes of a group: their own phone, another that returned them, or a file. */
function bringerOf({ device_name: name, way }: QuarantineCount): string {
  const words = supervisorWords.value.phones;
  if (way === 'returned') return name ? words.waitReturned(name) : words.waitReturnedUnknown;
  return name || words.waitFromFile;
}

/** True of a note for review that came by another phone: a revoked device's own says so among its faults. */
function isReturned({ faults }: QuarantinedView): boolean {
  return faults.length > 0 && !faults.some((fault) => fault.code === 'revoked');
}

/** What waits of one phone, page by page. A page ends before a number, so it stays in place when others are decided or arrive. */
function PagesOf({ device }: { device: string }) {
  const words = supervisorWords.value.phones;
  const [turned, turn] = useState<readonly number[]>([]);
  const top = useRef<HTMLParagraphElement>(null);
  const before = turned.at(-1);
  const path = `quarantine/${device}${before === undefined ? '' : `?before=${before}`}`;
  const { view, trouble, slow } = useView<QuarantinePage>(path);
  const to = (pages: readonly number[]) => {
    turn(pages);
    top.current?.scrollIntoView();
    top.current?.focus({ preventScroll: true });
  };
  return (
    <>
      <p class="small quiet" ref={top} tabIndex={-1} role="status">
        {view
          ? words.page(number(turned.length + 1), number(view.count))
          : supervisorWords.value.pages.data[slow ? 'slow' : 'loading']}
      </p>
      <Trouble said={trouble ? inWords(trouble) : ''} />
      {view && (
        <>
          {view.quarantined.length === 0 && <p class="quiet">{words.pageNone}</p>}
          <ul class="entries held">
            {view.quarantined.map((each) => (
              <Note key={each.id} note={each} page={path} />
            ))}
          </ul>
          <div class="actions">
            {turned.length > 0 && <Button onClick={() => to(turned.slice(0, -1))}>{words.pageNewer}</Button>}
            {view.older > 0 && <Button onClick={() => to([...turned, view.older])}>{words.pageOlder}</Button>}
          </div>
        </>
      )}
    </>
  );
}

/** One note. `page` is the view besides the Phones page's own in which it stands. */
function Note({ note, page }: { note: QuarantinedView; page?: string }) {
  const words = supervisorWords.value.phones;
  const nameOf = useBedNames();
  const { trouble, attempt } = useSending();
  const review = note.state === 'review';
  const mergeable = review || isForOthers(note.faults);
  const decide = async (decision: 'merge' | 'leave') => {
    await attempt(async () => {
      await send(`/api/quarantine/${note.id}`, { decision });
      say(decision === 'merge' ? words.merged : words.rejected);
      await Promise.all([refresh('phones'), page === undefined ? undefined : refresh(page)]);
    });
  };
  return (
    <li>
      <p>
        <b>{kindName(note.kind)}</b> {[nameOf(bedOf(note)), saidText(note)].filter(Boolean).join(', ')}
      </p>
      <p class="small quiet">
        {[
          review ? words.stateReview : words.stateHeld,
          note.person_name,
          note.device_name,
          words.received(atWhen(note.received_at)),
        ]
          .filter(Boolean)
          .join(' · ')}
      </p>
      <p>{review ? (isReturned(note) ? words.whyReturned : words.whyReview) : words.whyHeld}</p>
      {note.faults.length > 0 && (
        <ul class="faults">
          {note.faults.map((fault) => (
            <li key={`${fault.field} ${fault.code}`}>{describeFault(fault, readable(note))}</li>
          ))}
        </ul>
      )}
      <details class="twin">
        <summary class="small">{words.asWritten}</summary>
        <pre>{note.text}</pre>
      </details>
      {!mergeable && <p class="small quiet">{words.cannotMerge}</p>}
      <Trouble said={trouble} />
      <div class="actions">
        {mergeable && (
          <Button kind="main" onClick={() => void decide('merge')}>
            {words.merge}
          </Button>
        )}
        <Button onClick={() => void decide('leave')}>{words.leave}</Button>
      </div>
    </li>
  );
}

/** What the note says, where it can be said at all: a held note may be anything. */
function saidText(note: QuarantinedView): string {
  try {
    return describeEntry(note.kind, readable(note).body);
  } catch {
    return '';
  }
}

/** The bed that the note says it is about; "" where it names none. */
function bedOf(note: QuarantinedView): string {
  const { bed, body } = readable(note);
  if (typeof bed === 'string') return bed;
  return isObject(body) && typeof body['bed'] === 'string' ? body['bed'] : '';
}

function readable({ kind, text }: QuarantinedView): Written {
  try {
    const entry: unknown = JSON.parse(text);
    return isObject(entry) ? { ...entry, kind } : { kind };
  } catch {
    return { kind };
  }
}

/** A note as far as it can be read: one in quarantine may be anything. */
interface Written {
  readonly kind?: unknown;
  readonly bed?: unknown;
  readonly body?: unknown;
}

function isObject(value: unknown): value is { readonly [field: string]: unknown } {
  return typeof value === 'object' && value !== null;
}
