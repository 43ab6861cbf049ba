import { useEffect, useRef, useState } from 'preact/hooks';
import { Button } from '../../../parts/Button';
import { Problems } from '../../../parts/Problems';
import { supervisorWords } from '../../../words/supervisor';

export interface Unsaved {
  changes: number;
  problems: string[];
  save: () => Promise<void>;
  discard: () => void;
}

/** What stands unsaved, what keeps it from being saved, and the way out; there only while anything is unsaved. */
export function EditFoot({ edit }: { edit: Unsaved }) {
  const words = supervisorWords.value.crops;
  const [tried, setTried] = useState(false);
  const [busy, setBusy] = useState(false);
  const summary = useRef<HTMLDivElement>(null);
  const { changes, problems } = edit;
  const isWrong = tried && problems.length > 0;
  useEffect(() => {
    if (isWrong) summary.current?.focus();
  }, [isWrong]);
  if (changes === 0 && problems.length === 0) return null;
  const press = async () => {
    setTried(true);
    if (problems.length > 0) {
      summary.current?.focus();
      return;
    }
    setBusy(true);
    await edit.save();
    setBusy(false);
    setTried(false);
  };
  return (
    <div class="foot">
      {isWrong && <Problems box={summary} title={words.notYet} problems={problems} />}
      <p class="small">{words.unsaved(changes)}</p>
      <div class="actions">
        <Button kind="quiet" onClick={edit.discard}>
          {words.discard}
        </Button>
        <Button kind="main" disabled={busy} onClick={() => void press()}>
          {words.save}
        </Button>
      </div>
    </div>
  );
}
