/** The state of the notes in plain words: always the same quiet line, on every screen that is not a walk. */
import { waiting } from '../../journal/queue';
import { queue } from '../../state';
import { t } from '../../words';
import { atWhen } from '../../words/format';
import { Link } from '../../router';

export function QueueLine() {
  return (
    <p class="queue small" role="status">
      <Link to="/notes">{sentence()}</Link>
    </p>
  );
}

/** "14 notes on this phone, last at the server 09:12", or that all is there. */
export function sentence(): string {
  const words = t.value.scout.queue;
  const { waiting: count, lastSentAt } = queue.value;
  const sent = lastSentAt > 0;
  if (count > 0) return `${words.waiting(count)}, ${sent ? words.lastAt(atWhen(lastSentAt)) : words.neverSent}`;
  return sent ? `${words.allSent} ${words.sentAt(atWhen(lastSentAt))}` : words.allSent;
}

/** True when the state of the queue wants a step from the person. */
export function needsStep(): boolean {
  const state = queue.value.state;
  return (
    state === 'unpaired' || state === 'revoked' || state === 'portal' || state === 'refused' || waiting.value.parked > 0
  );
}
