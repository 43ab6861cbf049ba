/** The state of the notes in plain words: always the same quiet line, on every screen that is not a walk. */
import { access, queue } from '../../state';
import { appWords } from '../../words';
import { atWhen } from '../../words/format';
import { go, Link } from '../../router';
import { Button } from '../../parts/Button';

export function QueueLine() {
  return (
    <p class="queue small" role="status">
      <Link to="/notes">{sentence()}</Link>
    </p>
  );
}

/** Said where the day begins when the server no longer serves this phone: what is kept, and what to do. */
export function Access() {
  const words = appWords.value.scout;
  if (access.value === '') return null;
  return (
    <section class="notice" role="alert">
      <p>{sentence()}</p>
      {access.value === 'revoked' ? (
        <>
          <p>{words.queue.revokedKept}</p>
          <p>{words.queue.revokedDo}</p>
        </>
      ) : (
        <p>{words.queue.unpaired}</p>
      )}
      <Button size="walk" onClick={() => go('/pair')}>
        {words.queue.pairAgain}
      </Button>
    </section>
  );
}

/** "14 notes on this phone, last at the server 09:12", or that all is there. */
export function sentence(): string {
  const words = appWords.value.scout.queue;
  const { pending: count, lastSentAt } = queue.value;
  const sent = lastSentAt > 0;
  // "All is at the server" would be true, and would look as if nothing were wrong.
  if (access.value === 'revoked')
    return count > 0 ? `${words.revokedShort} ${words.pending(count)}.` : words.revokedShort;
  if (queue.value.state === 'full') return count > 0 ? `${words.full} ${words.pending(count)}.` : words.full;
  if (count > 0) return `${words.pending(count)}, ${sent ? words.lastAt(atWhen(lastSentAt)) : words.neverSent}`;
  return sent ? `${words.allSent} ${words.sentAt(atWhen(lastSentAt))}` : words.allSent;
}
