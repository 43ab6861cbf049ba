import type { ComponentChildren } from 'preact';
import type { Void } from '../../../../schema/types';
import { Button } from '../../parts/Button';
import { appWords } from '../../words';

interface Props {
  whys: readonly Void['why'][];
  disabled?: boolean;
  onChoose: (why: Void['why']) => void;
  onCancel: () => void;
  /** What should be known before one of them is tapped. */
  children?: ComponentChildren;
}

/** Asks why something is struck out; the answer strikes it out. */
export function Reasons({ whys, disabled = false, onChoose, onCancel, children }: Props) {
  return (
    <fieldset>
      <legend>{appWords.value.scout.walk.strikeTitle}</legend>
      {children}
      <div class="menu">
        {whys.map((why) => (
          <Button key={why} size="walk" disabled={disabled} onClick={() => onChoose(why)}>
            {appWords.value.common.voidWhy[why]}
          </Button>
        ))}
        <Button size="walk" kind="quiet" onClick={onCancel}>
          {appWords.value.common.cancel}
        </Button>
      </div>
    </fieldset>
  );
}

export const whysOfPot: readonly Void['why'][] = ['wrong_pot', 'mistake', 'twice', 'wrong_bed', 'other'];
