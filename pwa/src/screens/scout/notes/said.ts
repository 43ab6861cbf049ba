/** What an own note says, in one line: as the supervisor's pages say it, with what a scout typed and where it was. */
import type { Application, Count, Entry, Move } from '../../../../../schema/types';
import { spans } from '../../../journal/records/registers';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { describeEntry, several, word } from '../../../words/entry';
import { nameOfBed } from '../../../words/names';

export function saidNote({ kind, body }: Entry): string {
  switch (kind) {
    case 'count': {
      const { change, reason, words } = body as Count;
      const pots = `${change > 0 ? '+' : '−'}${appWords.value.common.pots(Math.abs(change))}`;
      return [pots, word(supervisorWords.value.lot.reason, reason), words].filter(Boolean).join(', ');
    }
    case 'move':
      return `${describeEntry(kind, body)}: ${way(body as Move)}`;
    case 'application': {
      const { beds } = body as Application;
      // One bed stands above already, as the bed that the note is about.
      return [beds.length > 1 ? several(beds.map(nameOfBed)) : '', describeEntry(kind, body)]
        .filter(Boolean)
        .join(': ');
    }
    default:
      return describeEntry(kind, body);
  }
}

/** "Heron, H1 → Heron, H2": the beds that pots left and came to. */
function way({ legs }: Move): string {
  const side = (isTo: boolean) =>
    several([...new Set(legs.filter(({ change }) => change > 0 === isTo).map(({ span }) => bedOf(span)))]);
  return `${side(false)} → ${side(true)}`;
}

function bedOf(span: string | undefined): string {
  const bed = span && spans.value.get(span)?.bed;
  return bed ? nameOfBed(bed) : supervisorWords.value.lot.offBed;
}
