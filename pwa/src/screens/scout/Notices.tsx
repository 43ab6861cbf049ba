/** What needs a step from the person, over every screen; nothing here is ever red, and nothing is said twice. */
import { useEffect, useId, useRef, useState } from 'preact/hooks';
import { Button } from '../../parts/Button';
import { tab } from '../../journal/store/base';
import { repaired, unfolded } from '../../journal/recovery/damaged';
import { stash } from '../../journal/outbox/stash';
import { route } from '../../router';
import { appWords } from '../../words';
import { offerUpdate, takeUpdate, updateReady } from '../../update';

export function Notices() {
  const words = appWords.value.scout.notice;
  const [later, setLater] = useState(false);
  useEffect(() => {
    setLater(false);
    offerUpdate();
  }, [route.value.path]);
  const walking = route.value.parts[0] === 'walk';
  return (
    <div class="notices">
      {stash.value.length > 0 && (
        <p class="notice" role="alert">
          {words.aside(stash.value.length)}
        </p>
      )}
      {tab.value === 'blocked' && (
        <p class="notice" role="alert">
          {words.blocked}
        </p>
      )}
      {tab.value === 'outdated' && <Outdated />}
      {!walking && <Repaired />}
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

/** A newer build has the database now: what this page would still note could not be saved, so it takes no more taps. */
function Outdated() {
  const words = appWords.value.scout.notice;
  const dialog = useRef<HTMLDialogElement>(null);
  const heading = useId();
  const show = () => {
    if (!dialog.current?.open) dialog.current?.showModal();
  };
  useEffect(show, []);
  return (
    <dialog
      ref={dialog}
      class="dialog outdated"
      aria-labelledby={heading}
      onCancel={(event) => event.preventDefault()}
      onClose={show}
    >
      <h2 id={heading}>{words.outdated}</h2>
      <p>{words.outdatedKept}</p>
      <Button kind="main" size="walk" onClick={() => location.reload()}>
        {words.reload}
      </Button>
    </dialog>
  );
}

/** Told once, when it has happened, and only until somebody has read it. */
function Repaired() {
  const words = appWords.value.scout.notice;
  const [read, setRead] = useState(0);
  const { again, asked } = repaired.value;
  const all = again + asked + unfolded.value;
  if (all <= read) return null;
  return (
    <div class="notice calm" role="status">
      <span>
        {again > 0 && words.rebuilt(again)} {asked > 0 && words.fetchedAgain(asked)}{' '}
        {unfolded.value > 0 && words.unfolded(unfolded.value)}
      </span>
      <Button kind="quiet" onClick={() => setRead(all)}>
        {appWords.value.common.close}
      </Button>
    </div>
  );
}
