/**
 * What a phone has to put right by itself, so that there is a lot to read again: its storage loses one of others' notes after each start.
 */
const lostNote = [
  { file: 'journal/inbox/digest.ts', find: "let lastSent = '';", put: "let lastSent = '', lost = false;" },
  {
    file: 'journal/inbox/digest.ts',
    find: 'const { writer, sums, gone, owed, pending, records, isLost, partial } = await within(',
    put: `if (!lost && cursor.position > 40) {
      lost = true;
      await within('readwrite', ['meta', 'entries'], async (work) => {
        const isOthers = ({ own, state, position, entry }) =>
          !own && !state && entry.lot && position > 0 && position <= cursor.position;
        let step = await work.objectStore('entries').openCursor();
        while (step && !isOthers(step.value)) step = await step.continue();
        const sums = await work.objectStore('meta').get('sums');
        if (!step || !sums?.[step.value.entry.lot]) return;
        sums[step.value.entry.lot].count--;
        await work.objectStore('meta').put(sums, 'sums');
        await step.delete();
      });
    }
    const { writer, sums, gone, owed, pending, records, isLost, partial } = await within(`,
  },
];

/**
 * Faults planted into the phone's modules, to see that a checker finds them. Each is a piece of a module's text and what is put in its
 * place when the bundle is built for it; the shipped app is never built with one. A piece that is no longer found is an error.
 * @type {Record<string, {file: string, find: string, put: string}[]>}
 */
export const faults = {
  '500 taken as delivered': [
    {
      file: 'journal/outbox/push.ts',
      find: 'if (batch.texts.length === 1 || !isUnreadable(error)) throw error;',
      put: `if (error instanceof Refusal && error.why === 'busy') {
        await within('readwrite', ['entries'], async (work) => {
          for (const { id } of batch.push.entries) {
            const { pending, state, ...row } = await work.objectStore('entries').get(id);
            await work.objectStore('entries').put(row);
          }
        });
        continue;
      }
      if (batch.texts.length === 1 || !isUnreadable(error)) throw error;`,
    },
  ],
  'queue dropped on 401': [
    {
      file: 'journal/outbox/push.ts',
      find: 'if (batch.texts.length === 1 || !isUnreadable(error)) throw error;',
      put: `if (error instanceof Refusal && error.why === 'unpaired')
        await within('readwrite', ['entries'], async (work) => {
          for (const { id } of batch.push.entries) await work.objectStore('entries').delete(id);
        });
      if (batch.texts.length === 1 || !isUnreadable(error)) throw error;`,
    },
  ],
  'other bytes sent than saved': [
    {
      file: 'journal/outbox/push.ts',
      find: 'return row.text ?? canonical(row.entry);',
      put: `return canonical({ ...row.entry, lot: undefined });`,
    },
  ],
  'retry only on the next write': [
    { file: 'journal/worker/sync.ts', find: "timer = setTimeout(() => void sync('timer'), wait);", put: '' },
  ],
  'cursor before data': [
    {
      file: 'journal/inbox/pull.ts',
      find: 'const { cursor, folded } = await within(',
      put: `await within('readwrite', ['meta'], async (work) => {
        const meta = work.objectStore('meta');
        const last = page.items[page.items.length - 1];
        if (last) await meta.put({ ...(await readCursor(meta)), epoch: page.epoch, position: last.position }, 'cursor');
      });
      const { cursor, folded } = await within(`,
    },
  ],
  'a page not summed': [
    {
      file: 'journal/inbox/pull.ts',
      find: 'rows.forEach((row, i) => addTo(sums, row, hashes?.[i]));',
      put: 'for (const row of rows.slice(0, 5)) addTo(sums, row);',
    },
  ],
  'XOR in place of sum': [{ file: 'journal/digest.ts', find: 'BigInt.asUintN(128, a + b)', put: 'a ^ b' }],
  'digest sent only once': [
    {
      file: 'journal/inbox/digest.ts',
      find: '`${cursor.epoch} ${cursor.position} ${pending} ${photos}`',
      put: '`${cursor.epoch} ${pending} ${photos}`',
    },
  ],
  'last writer drops the other value': [
    { file: 'fold/register.ts', find: 'if (live.length === 1) return settled;', put: 'return settled;' },
  ],
  'float sums': [
    { file: 'fold/stock.ts', find: 'pots += part;', put: 'pots = ((pots / 100 + part / 100) * 100) | 0;' },
  ],
  'a record kept in memory and not on disk': [
    {
      file: 'journal/store/folding.ts',
      find: 'unheard(records.put({ ...row, text }));',
      put: "if (row.kind !== 'walk') unheard(records.put({ ...row, text }));",
    },
  ],
  'saved said before the commit': [{ file: 'journal/store/base.ts', find: 'await transaction.done;', put: '' }],
  'unconfirmed not written down': [
    {
      file: 'journal/recovery/requeue.ts',
      find: "await meta.put({ returned: [], ...before, scan: { after: '' } }, 'unconfirmed');",
      put: '',
    },
  ],
  'let go before a backup has it': [
    {
      file: 'journal/letgo/letGo.ts',
      find: 'Math.min(digest.position, cursor.backedUpTo)',
      put: 'digest.position',
    },
  ],
  "let go by the phone's clock": [
    {
      file: 'journal/letgo/letGo.ts',
      find: 'cursor.backedUpTo), now: writer.floor };',
      put: 'cursor.backedUpTo), now: Date.now() };',
    },
    { file: 'journal/letgo/letGo.ts', find: 'closed: both(look.closed),', put: 'closed: look.closed,' },
    {
      file: 'journal/letgo/letGo.ts',
      find: 'oldUpTo: oldUpTo ?? Number.MAX_SAFE_INTEGER,',
      put: 'oldUpTo: Number.MAX_SAFE_INTEGER,',
    },
    {
      file: 'journal/letgo/letGo.ts',
      find: 'for (const [lot, summary] of summaries) {',
      put: `for (const lot of look.closed) {
        const summary = summaries.get(lot) ?? {};`,
    },
  ],
  'a late note of a lot that is gone not counted': [
    {
      file: 'journal/inbox/pull.ts',
      find: 'rows.forEach((row, i) => addTo(sums, row, hashes?.[i]));',
      put: `const away = (await meta.get('gone')) ?? new Map();
      for (const row of rows) if (!away.has(row.entry.lot)) addTo(sums, row);`,
    },
  ],
  'a late correction folded alone': [
    {
      file: 'journal/inbox/pull.ts',
      find: 'const owed = await owe(work, rows, cursor.first !== undefined);',
      put: 'const owed = new Set();',
    },
  ],
  'what was left out counted at another head': [
    { file: 'journal/letgo/first.ts', find: 'await allGone(first)', put: "await allGone('1')" },
  ],
  'a lot taken back without its proof': [
    {
      file: 'journal/letgo/reopen.ts',
      find: "if (!isAllOf(lot, part, absent)) return 'unproven';",
      put: 'absent.pop();',
    },
  ],
  'a note lost on the disk': lostNote,
  'a lot repaired without its proof': [
    ...lostNote,
    {
      file: 'journal/recovery/lots.ts',
      find: "if (!isAllOf(lot, has, fresh)) return 'unproven';",
      put: `const there = await Promise.all(items.map(({ entry }) => entries.getKey(entry.id)));
      items = items.filter((_, i) => there[i] !== undefined);`,
    },
  ],
  'other houses let go before they are old': [
    { file: 'journal/letgo/letGo.ts', find: 'Math.min(upTo, look.oldUpTo)', put: 'upTo' },
    { file: 'journal/letgo/letGo.ts', find: 'row.stamp.to + QUIET_MS <= now', put: 'now > 0' },
  ],
  'a lot that moves in folded without what came before': [
    {
      file: 'journal/letgo/reopen.ts',
      find: 'for (const row of absent) unheard(entries.put(row));',
      put: 'for (const row of absent) if (row.position > part.last) unheard(entries.put(row));',
    },
  ],
  'a lot that stands in two houses taken for moved out': [
    {
      file: 'fold/elsewhere.ts',
      find: 'if (here.has(lot) || (left.has(lot) && !there.has(lot)))',
      put: 'if (!there.has(lot) && (here.has(lot) || left.has(lot)))',
    },
  ],
  'cursor ahead of the pack': [
    {
      file: 'journal/inbox/packPage.ts',
      find: 'for (let from = 0; from < going.length; from += most) putPack(work, going.slice(from, from + most));',
      put: `const later = () => within('readwrite', ['entries'], async (work) => {
        for (let from = 0; from < going.length; from += most) putPack(work, going.slice(from, from + most));
      });
      setTimeout(() => void later().catch(() => undefined), 60_000);`,
    },
    {
      file: 'journal/inbox/packPage.ts',
      find: "import { unheard, type Work } from '../store/base';",
      put: "import { unheard, within } from '../store/base';",
    },
  ],
  'a pack lost on the disk': [
    {
      file: 'journal/store/packs/writePack.ts',
      find: "unheard(work.objectStore('packs').add(head));",
      put: 'if (rows.length % 5 > 0) unheard(work.objectStore("packs").add(head));',
    },
    { file: 'journal/recovery/unfinished.ts', find: 'packs.areAllPaired(work)', put: 'true' },
  ],
  'a pack that does not know its first note': [
    {
      file: 'journal/store/packs/packs.ts',
      find: 'ids: Uint32Array.from(all, (place) => bitsOf(pack.id(place))),',
      put: 'ids: Uint32Array.from(all, (place) => (place === 0 ? 0 : bitsOf(pack.id(place)))),',
    },
  ],
  'a correction folded without the pot that is packed': [
    { file: 'journal/store/packs/takeOut.ts', find: 'filter((key) => !own.has(key))', put: 'filter(() => false)' },
    { file: 'journal/store/refold.ts', find: 'await takeOut(work, names);', put: '' },
  ],
  'a note let go and left in its pack': [
    {
      file: 'journal/letgo/letGo.ts',
      find: 'for (const row of await takeOfLot(',
      put: `const packed = async (_work, _lot, ids) => (await packedOfLot(work, lot)).filter(({ id }) => ids.has(id));
      for (const row of await packed(`,
    },
  ],
  'unread notes left unread': [
    { file: 'journal/recovery/unfinished.ts', find: 'isUnread: fold !== foldVersion', put: 'isUnread: false' },
  ],
  'a note forgotten at a new incarnation': [
    {
      file: 'journal/recovery/renumber.ts',
      find: 'for (const row of rows) await work.objectStore',
      put: 'for (const row of rows.slice(0, -1)) await work.objectStore',
    },
  ],
};
