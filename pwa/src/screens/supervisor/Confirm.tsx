import { Button } from '../../parts/Button';
import { Dialog } from '../../parts/Dialog';
import { appWords } from '../../words';
import { Trouble, useSending } from './Trouble';

interface Asked {
  says: string;
  yes: string;
  /** Ends when it is done: what is read again after it holds nobody in front of the question. */
  onYes: () => Promise<void>;
  onClose: () => void;
}

/** Asks before what is hard to take back, and closes once that is done; what kept it from being done is said in it. */
export function Confirm({ title, open, ...asked }: Asked & { title: string; open: boolean }) {
  return (
    <Dialog title={title} open={open} onClose={asked.onClose}>
      <Question {...asked} />
    </Dialog>
  );
}

function Question({ says, yes, onYes, onClose }: Asked) {
  const { trouble, attempt } = useSending();
  const confirm = () =>
    attempt(async () => {
      await onYes();
      onClose();
    });
  return (
    <>
      <p>{says}</p>
      <Trouble said={trouble} />
      <div class="actions">
        <Button kind="clay" onClick={() => void confirm()}>
          {yes}
        </Button>
        <Button onClick={onClose}>{appWords.value.common.cancel}</Button>
      </div>
    </>
  );
}
