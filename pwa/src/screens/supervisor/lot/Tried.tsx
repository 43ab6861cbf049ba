import type { TryView } from '../../../../../schema/types';
import { DataTable } from '../../../parts/DataTable';
import { supervisorWords } from '../../../words/supervisor';
import { triedLines } from './tryWords';

/** The plan as it stands beside what was tried: lots, or a booking ('' for a new one). */
export function Tried({ view, isOld, booking }: { view: TryView; isOld: boolean; booking?: string }) {
  const words = supervisorWords.value.plan.tried;
  return (
    <section aria-live="polite">
      {isOld && <p class="attention">{words.old}</p>}
      <DataTable
        caption={words.title}
        stacks
        rows={triedLines(view, booking)}
        keyOf={({ what }) => what}
        columns={[
          { key: 'what', title: words.what, heads: true, cell: ({ what }) => what },
          { key: 'now', title: words.now, cell: ({ now }) => now },
          { key: 'tried', title: words.would, cell: ({ now, tried }) => (now === tried ? tried : <b>{tried}</b>) },
        ]}
      />
    </section>
  );
}
