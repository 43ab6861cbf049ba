/** What needs a step from the person, over every screen; nothing here is ever red, and nothing is said twice. */
import { useEffect, useState } from 'preact/hooks';
import { signal } from '@preact/signals';
import { Button } from '../../parts/Button';
import { onBlocked } from '../../journal/base';
import { aside } from '../../journal/emergency';
import { route } from '../../router';
import { t } from '../../words';
import { takeUpdate, updateReady } from '../../update';

const blocked = signal(false);
onBlocked(() => (blocked.value = true));

export function Notices() {
  const words = t.value.scout.notice;
  const [later, setLater] = useState(false);
  useEffect(() => setLater(false), [route.value.path]);
  const walking = route.value.parts[0] === 'walk';
  return (
    <div class="notices">
      {aside.value.length > 0 && (
        <p class="notice" role="alert">
          {words.aside(aside.value.length)}
        </p>
      )}
      {blocked.value && (
        <p class="notice" role="alert">
          {words.blocked}
        </p>
      )}
      {updateReady.value && !walking && !later && (
        <div class="notice calm" role="status">
          <span>{words.update}</span>
          <span class="pair">
            <Button kind="main" onClick={takeUpdate}>
              {words.takeUpdate}
            </Button>
            <Button kind="quiet" onClick={() => setLater(true)}>
              {words.later}
            </Button>
          </span>
        </div>
      )}
    </div>
  );
}
