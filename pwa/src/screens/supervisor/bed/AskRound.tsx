import { useState } from 'preact/hooks';
import type { BedView, TrendPoint } from '../../../../../schema/types';
import { randomId } from '../../../journal/store/device';
import { note } from '../../../journal/outbox/write';
import { Button } from '../../../parts/Button';
import { Dialog } from '../../../parts/Dialog';
import { say } from '../../../parts/Toast';
import { supervisorWords } from '../../../words/supervisor';
import { Trouble } from '../Trouble';

interface Props {
  view: BedView;
  /** The walk whose pots are to be read again. */
  first: TrendPoint;
  open: boolean;
  onClose: () => void;
}

/** Asks another scout to read the pots of a walk again without seeing what was read. */
export function AskRound({ view, first, open, onClose }: Props) {
  const words = supervisorWords.value.bed.round;
  const [who, setWho] = useState('');
  const [failed, setFailed] = useState(false);
  const others = Object.entries(view.people).filter(([person]) => person !== first.person);
  const ask = async () => {
    try {
      const by = who === '' ? {} : { by: who };
      await note('round', { of: randomId(), bed: view.bed.id, walk: first.walk, ...by }, { bed: view.bed.id });
      onClose();
      say(words.asked);
    } catch {
      setFailed(true);
    }
  };
  return (
    <Dialog title={words.title} open={open} onClose={onClose}>
      <p>{words.intro}</p>
      <label class="ask">
        <span>{words.who}</span>
        <select value={who} onChange={(event) => setWho(event.currentTarget.value)}>
          <option value="">{words.anybody}</option>
          {others.map(([person, name]) => (
            <option key={person} value={person}>
              {name}
            </option>
          ))}
        </select>
      </label>
      <Trouble said={failed ? words.failed : ''} />
      <div class="actions">
        <Button kind="main" onClick={() => void ask()}>
          {words.ask}
        </Button>
      </div>
    </Dialog>
  );
}
