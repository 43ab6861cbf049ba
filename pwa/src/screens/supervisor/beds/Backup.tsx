import { useRef, useState } from 'preact/hooks';
import type { AttentionView, BackupMade } from '../../../../../schema/types';
import { Refusal } from '../../../journal/wire';
import { placeAfter, whereLost } from '../../../parts/focus';
import { say } from '../../../parts/Toast';
import { refresh, send, useView } from '../../../views/views';
import { atWhen } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { Section } from '../Page';
import { inWords } from '../Trouble';

/** When the last backup was made and what it lacks, in one line. */
export function LastBackup({ backup: { at, lacks } }: { backup: AttentionView['backup'] }) {
  const words = supervisorWords.value.morning;
  if (at > 0) return <>{words.lastBackup(atWhen(at), lacks)}</>;
  return (
    <>
      {words.noBackup}. {lacks > 0 && words.backupLacks(lacks)}
    </>
  );
}

/** Has the server make a backup: among the verbs of a list, or as a button of its own. */
export function BackUpNow({ alone = false }: { alone?: boolean }) {
  const words = supervisorWords.value.morning;
  const [isMaking, setMaking] = useState(false);
  const own = useRef<HTMLButtonElement>(null);
  const make = async () => {
    // In the list the row goes with the trouble.
    const goOn = placeAfter(own.current?.closest('li'));
    setMaking(true);
    try {
      const { name } = await send<BackupMade>('/api/backup');
      say(words.backedUp(name));
      await refresh('attention');
    } catch (trouble) {
      if (!(trouble instanceof Refusal)) throw trouble;
      say(inWords(trouble));
    } finally {
      setMaking(false);
      if (own.current) whereLost(() => own.current);
      else goOn();
    }
  };
  return (
    <button
      ref={own}
      type="button"
      class={alone ? 'button plain tap' : 'link'}
      disabled={isMaking}
      onClick={() => void make()}
    >
      {isMaking ? words.backingUp : words.backUpNow}
    </button>
  );
}

/** How it stands with backups, where a nursery is set up. */
export function Backups() {
  const words = supervisorWords.value.morning;
  const { view, trouble } = useView<AttentionView>('attention');
  return (
    <Section title={words.backups}>
      {!view && <p class="quiet">{trouble ? inWords(trouble) : supervisorWords.value.pages.data.loading}</p>}
      {view && (
        <>
          <p>
            <LastBackup backup={view.backup} />
          </p>
          {view.backup.can_make ? (
            <p>
              <BackUpNow alone />
            </p>
          ) : (
            <p class="small quiet">{words.backupHow}</p>
          )}
        </>
      )}
    </Section>
  );
}
