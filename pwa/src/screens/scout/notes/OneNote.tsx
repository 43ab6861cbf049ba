/** One own note in the list: what it says, where it is by now, and how it is put right or struck out. */
import { useState } from 'preact/hooks';
import type { Fault, Void } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { say, sayNotSaved } from '../../../parts/Toast';
import { canBeVoided, unvoidNotes, voidNotes, togetherWith, type OwnNote } from '../../../journal/records/ownNotes';
import { isApart } from '../../../journal/store/entryState';
import { useStored } from '../../../journal/records/read';
import { people } from '../../../journal/records/registers';
import { walks } from '../../../journal/records/walks';
import { appWords } from '../../../words';
import { amendWords, walkWords } from '../../../words/rooms';
import { setupWords } from '../../../words/rooms';
import { describeFault } from '../../../words/fault';
import { stamp } from '../../../words/format';
import { openAgain } from '../walk/halfNoted';
import { nameOfBed, nameOfLot } from '../../../words/names';
import { unvoidSaid, VoidReasons, whysOfPot } from '../VoidReasons';
import { saidNote } from './said';

export function OneNote({ row }: { row: OwnNote }) {
  const words = setupWords.value.notes;
  const { entry } = row;
  const [asked, ask] = useState(false);
  const kind = (words.kinds as Record<string, string>)[entry.kind] ?? entry.kind;
  const about = [entry.bed ? nameOfBed(entry.bed) : '', entry.lot ? nameOfLot(entry.lot) : '']
    .filter(Boolean)
    .join(' · ');
  const said = saidNote(entry);
  return (
    <li class={row.voided ? 'voided' : ''}>
      <span>
        <b>{kind}</b> <span class="small quiet">{stamp(row.stamp)}</span>
        {about !== '' && <span class="small quiet">{about}</span>}
        {said !== '' && <span class="said">{said}</span>}
        {row.voided && <span class="small">{voidedBy(row)}</span>}
        {row.state === 'rejected' && <span class="small attention">{words.rejectedNote}</span>}
        {faultsOf(row).map((fault: Fault) => (
          <span key={`${fault.field} ${fault.code}`} class="small attention">
            {describeFault(fault, entry)}
          </span>
        ))}
      </span>
      <span class={`small ${isApart(row) ? 'attention' : 'nowrap quiet'}`}>{stateOf(row)}</span>
      {asked ? <VoidWhy row={row} onDone={() => ask(false)} /> : <Steps row={row} onVoid={() => ask(true)} />}
    </li>
  );
}

function voidedBy({ voided }: OwnNote): string {
  if (!voided) return '';
  const who = people.value.get(voided.by.person)?.name ?? appWords.value.common.unknown;
  const why = (appWords.value.common.voidWhy as Record<string, string>)[voided.why] ?? voided.why;
  return amendWords.value.voidedBy(who, stamp(voided.by.stamp), [why, voided.words].filter(Boolean).join(', '));
}

function Steps({ row, onVoid }: { row: OwnNote; onVoid: () => void }) {
  const words = walkWords.value;
  const [busy, setBusy] = useState(false);
  if (!canBeVoided(row)) return null;
  const does = async (what: () => Promise<void>) => {
    setBusy(true);
    try {
      await what();
    } catch (error) {
      sayNotSaved(error);
    }
    setBusy(false);
  };
  if (row.voided) {
    const restore = async () => {
      await unvoidSaid(async () => unvoidNotes(row.pot ? [row] : await togetherWith(row)));
      say(amendWords.value.restored);
    };
    return (
      <div class="pair">
        <Button disabled={busy} onClick={() => void does(restore)}>
          {words.restore}
        </Button>
      </div>
    );
  }
  const { pot } = row;
  const walk = pot && walks.value.get(pot.now.walk);
  return (
    <div class="pair">
      {pot && walk && (
        <Button disabled={busy} onClick={() => void does(() => openAgain(walk, pot, 'notes'))}>
          {words.open}
        </Button>
      )}
      <Button kind="clay" onClick={onVoid}>
        {words.strike}
      </Button>
    </div>
  );
}

const whysOfNote: readonly Void['why'][] = ['mistake', 'wrong_bed', 'twice', 'other'];

function VoidWhy({ row, onDone }: { row: OwnNote; onDone: () => void }) {
  const together = useStored(() => (row.pot ? Promise.resolve([row]) : togetherWith(row)), [row.id]) ?? [];
  const valid = together.filter(({ voided }) => !voided);
  return (
    <VoidReasons
      whys={row.pot ? whysOfPot : whysOfNote}
      disabled={valid.length === 0}
      onVoid={(why) => voidNotes(valid, why)}
      said={amendWords.value.voided}
      onDone={onDone}
    >
      {row.entry.kind === 'application' && <p class="attention">{amendWords.value.opensBeds}</p>}
      {row.entry.kind === 'walk' && <p class="attention">{amendWords.value.wholeWalk}</p>}
      {row.entry.kind === 'walk_end' && <p>{amendWords.value.walkGoesOn}</p>}
      {valid.length > 1 && <p>{amendWords.value.together(valid.length)}</p>}
    </VoidReasons>
  );
}

/** Why it is kept apart. That a supervisor had to look at it is no reason any more, once one has decided. */
function faultsOf(row: OwnNote): readonly Fault[] {
  return (row.faults ?? []).filter(({ code }) => row.state !== 'rejected' || !['revoked', 'role'].includes(code));
}

function stateOf(row: OwnNote): string {
  const words = setupWords.value.notes;
  if (row.state === 'quarantined') return words.quarantined;
  if (row.state === 'inReview') return words.review;
  if (row.state === 'rejected') return words.rejected;
  if (row.state === 'parked') return words.parked;
  return row.state === 'queued' ? words.pending : words.arrived;
}
