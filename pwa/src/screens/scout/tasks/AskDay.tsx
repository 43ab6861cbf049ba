import { useState } from 'preact/hooks';
import { dayOf, dayTyped } from '../../../forms/days';
import { DayField } from '../../../forms/fields';
import { Button } from '../../../parts/Button';
import { Dialog } from '../../../parts/Dialog';
import { supervisorWords } from '../../../words/supervisor';
import { workWords } from '../../../words/rooms';

interface Props {
  /** What was done, on which lot. */
  work: string;
  onChoose: (day: string) => Promise<void>;
  onClose: () => void;
}

/** Asks on which day a piece of work was done. A day to come is refused: nobody has done it yet. */
export function AskDay({ work, onChoose, onClose }: Props) {
  const words = supervisorWords.value.tasks.list;
  const now = Date.now();
  const [typed, type] = useState('');
  const [tried, setTried] = useState(false);
  const name = workWords.value.work.form.day;
  const answer = typed > dayOf(now) ? { problem: words.dayAhead } : dayTyped(typed, name, now);
  const choose = async () => {
    setTried(true);
    if (answer.value !== undefined) await onChoose(answer.value);
  };
  return (
    <Dialog title={words.dayOf(work)} open onClose={onClose}>
      <DayField label={name} typed={typed} answer={answer} tried={tried} onType={type} now={now} />
      <Button kind="main" size="walk" class="wide" onClick={() => void choose()}>
        {words.saveDay}
      </Button>
    </Dialog>
  );
}
