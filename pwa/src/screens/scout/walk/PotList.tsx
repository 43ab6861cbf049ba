import { useState } from 'preact/hooks';
import type { Void } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { say, unsay } from '../../../parts/Toast';
import type { PotRow } from '../../../journal/records/read';
import { voidEntries, unvoid, type VoidTarget } from '../../../journal/outbox/voids';
import { appWords } from '../../../words';
import { summary } from '../names';
import { Reasons, whysOfPot } from '../Reasons';

interface Props {
  pots: readonly PotRow[];
  onOpen: (pot: PotRow) => void;
}

/** A walk's pots, newest first: each can be opened and corrected, or struck out with a reason and taken back. */
export function PotList({ pots, onOpen }: Props) {
  const words = appWords.value.scout.walk;
  const [striking, strike] = useState<string | undefined>(undefined);
  if (pots.length === 0) return <p>{words.noEarlier}</p>;
  return (
    <ol class="pots" reversed>
      {pots.toReversed().map((pot, index) => (
        <li key={pot.id} class={pot.voided ? 'struck' : ''}>
          <p>
            <span>
              <b>{pots.length - index}</b>
              {' · '}
              {pot.now.place
                ? appWords.value.common.place(pot.now.place.row, pot.now.place.across)
                : words.unknownPlace}
            </span>
            <span class="small quiet">
              {summary(pot.now)}
              {pot.voided ? ` · ${appWords.value.common.strip.struck}: ${whyOf(pot)}` : ''}
            </span>
          </p>
          {striking === pot.id ? (
            <StrikeWhy pot={pot} onDone={() => strike(undefined)} />
          ) : (
            <div class="pair">
              {pot.voided ? (
                <Button onClick={() => void restore(pot)}>{words.restore}</Button>
              ) : (
                <>
                  <Button onClick={() => onOpen(pot)}>{words.open}</Button>
                  <Button kind="clay" onClick={() => strike(pot.id)}>
                    {words.strike}
                  </Button>
                </>
              )}
            </div>
          )}
        </li>
      ))}
    </ol>
  );
}

function whyOf(pot: PotRow): string {
  const why = pot.voided?.why as Void['why'] | undefined;
  return why ? appWords.value.common.voidWhy[why] : '';
}

function StrikeWhy({ pot, onDone }: { pot: PotRow; onDone: () => void }) {
  const words = appWords.value.scout.walk;
  const strike = async (why: Void['why']) => {
    const back = await voidEntries([named(pot, pot.by.entry)], why);
    onDone();
    say(words.struck, () => void back());
  };
  return <Reasons whys={whysOfPot} onChoose={(why) => void strike(why)} onCancel={onDone} />;
}

async function restore(pot: PotRow): Promise<void> {
  if (!pot.voided) return;
  // "Struck out" is not so any more, nor is there anything left for its Undo.
  unsay();
  await unvoid([named(pot, pot.voided.by.entry)]);
}

function named({ id, now: { lot, bed } }: PotRow, names: string): VoidTarget {
  return { names, records: [`pot:${id}`], place: { lot, bed } };
}
