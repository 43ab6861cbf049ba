import { useState } from 'preact/hooks';
import { walkWords } from '../../words/rooms';
import type { ComponentChildren } from 'preact';
import type { Void } from '../../../../schema/types';
import { Button } from '../../parts/Button';
import { say, sayNotSaved, unsay } from '../../parts/Toast';
import { appWords } from '../../words';

interface Props {
  whys: readonly Void['why'][];
  disabled?: boolean;
  /** Voids what is asked about. @returns what takes that back @throws NotSaved */
  onVoid: (why: Void['why']) => Promise<() => Promise<void>>;
  /** What is said then, beside Undo. */
  said: string;
  onDone: () => void;
  /** What should be known before one of them is tapped. */
  children?: ComponentChildren;
}

/** Asks why something is struck out; the answer strikes it out. */
export function VoidReasons({ whys, disabled = false, onVoid, said, onDone, children }: Props) {
  const [busy, setBusy] = useState(false);
  const choose = async (why: Void['why']) => {
    setBusy(true);
    try {
      const undo = await onVoid(why);
      onDone();
      say(said, () => void undo().catch(sayNotSaved));
    } catch (error) {
      sayNotSaved(error);
    }
    setBusy(false);
  };
  return (
    <fieldset>
      <legend>{walkWords.value.strikeTitle}</legend>
      {children}
      <div class="menu">
        {whys.map((why) => (
          <Button key={why} size="walk" disabled={disabled || busy} onClick={() => void choose(why)}>
            {appWords.value.common.voidWhy[why]}
          </Button>
        ))}
        <Button size="walk" kind="quiet" onClick={onDone}>
          {appWords.value.common.cancel}
        </Button>
      </div>
    </fieldset>
  );
}

/** Takes a striking out back. "Struck out" is not so any more then, nor is there anything left for its Undo. */
export async function unvoidSaid(unvoid: () => Promise<void>): Promise<void> {
  unsay();
  await unvoid();
}

export const whysOfPot: readonly Void['why'][] = ['wrong_pot', 'mistake', 'twice', 'wrong_bed', 'other'];
