import { useState } from 'preact/hooks';
import type { Void } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { sayNotSaved } from '../../../parts/Toast';
import type { PotRow } from '../../../journal/records/read';
import { voidEntries, unvoid, type VoidTarget } from '../../../journal/outbox/voids';
import { appWords } from '../../../words';
import { answer, summary, traits } from '../../../words/observation';
import { placeOf } from '../../../words/place';
import { amendWords, guideWords, walkWords } from '../../../words/rooms';
import { unvoidSaid, VoidReasons, whysOfPot } from '../VoidReasons';

interface Props {
  pots: readonly PotRow[];
  onOpen: (pot: PotRow) => void;
}

/** A walk's pots, newest first, a line each; what is done about one stands inside: it is corrected, or struck out and taken back. */
export function PotList({ pots, onOpen }: Props) {
  const words = walkWords.value;
  const [opened, open] = useState<string | undefined>(undefined);
  const [asked, ask] = useState<string | undefined>(undefined);
  // Numbered as on the card: a pot that is struck out has no number there.
  const standing = pots.filter((pot) => !pot.voided);
  if (pots.length === 0) return <p>{amendWords.value.walkMenu.noEarlier}</p>;
  return (
    <>
      <p class="small quiet">
        {words.answered(guideWords.value.rowColumn, traits.map((trait) => words[trait]).join(', '))}
      </p>
      <ol class="pots" reversed>
        {pots.toReversed().map((pot) => (
          <li key={pot.id} class={pot.voided ? 'voided' : ''}>
            <button
              type="button"
              class="button walk line"
              aria-expanded={opened === pot.id}
              onClick={() => open(opened === pot.id ? undefined : pot.id)}
            >
              <b>{pot.voided ? '×' : standing.indexOf(pot) + 1}</b>
              <span>{inShort(pot)}</span>
            </button>
            {opened === pot.id && (
              <p>
                <span>{placeOf(pot.now)}</span>
                <span class="small quiet">
                  {summary(pot.now)}
                  {pot.voided ? ` · ${appWords.value.common.strip.voided}: ${whyOf(pot)}` : ''}
                </span>
              </p>
            )}
            {opened === pot.id && asked === pot.id && (
              <VoidReasons
                whys={whysOfPot}
                onVoid={(why) => voidEntries([named(pot, pot.by.entry)], why)}
                said={words.voided}
                onDone={() => ask(undefined)}
              />
            )}
            {opened === pot.id && asked !== pot.id && (
              <div class="pair">
                {pot.voided ? (
                  <Button onClick={() => void restore(pot).catch(sayNotSaved)}>{words.restore}</Button>
                ) : (
                  <>
                    <Button onClick={() => onOpen(pot)}>{words.open}</Button>
                    <Button kind="clay" onClick={() => ask(pot.id)}>
                      {words.strike}
                    </Button>
                  </>
                )}
              </div>
            )}
          </li>
        ))}
      </ol>
    </>
  );
}

/** "row 8: 32, 42, 4 · 4, green" */
function inShort({ now }: PotRow): string {
  const where = now.place ? guideWords.value.rowOnly(now.place.row) : placeOf(now);
  return walkWords.value.answered(where, traits.map((trait) => answer(now, trait) ?? '–').join(', '));
}

function whyOf(pot: PotRow): string {
  const why = pot.voided?.why as Void['why'] | undefined;
  return why ? appWords.value.common.voidWhy[why] : '';
}

async function restore(pot: PotRow): Promise<void> {
  const voided = pot.voided;
  if (voided) await unvoidSaid(() => unvoid([named(pot, voided.by.entry)]));
}

function named({ id, now: { lot, bed } }: PotRow, names: string): VoidTarget {
  return { names, records: [`pot:${id}`], place: { lot, bed } };
}
