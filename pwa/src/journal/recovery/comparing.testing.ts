/**
 * The server in memory, saying which lots differ as the real one does: written from the wire's words in DEVELOPERS.md, and by no line of
 * the phone's.
 */
import type { Digest, Entry, Pulled, Stamped } from '../../../../schema/types';
import { fold, keys, recordHash } from '../../../../sync/fold/fold';
import { addSum, canonical, entryHash, sumHex } from '../../../../sync/journal/journal';
import { json } from '../answers.testing';
import { Closing } from '../letgo/closing.testing';

interface Sum {
  count: number;
  sum: string;
}

export class Comparing extends Closing {
  /** How many lots an answer names at most. */
  most = 200;
  /** True for what a pull leaves out by a fault. */
  skips: (entry: Entry) => boolean = () => false;
  /** From which position on it was asked for pages. */
  readonly pulls: number[] = [];

  override async answer(device: string, person: string, path: string, init: RequestInit = {}): Promise<Response> {
    const url = new URL(path, 'http://nursery');
    const answer = await super.answer(device, person, path, init);
    if (answer.status !== 200) return answer;
    if (url.pathname === '/api/pull') {
      this.pulls.push(Number(url.searchParams.get('after')));
      const page = (await answer.json()) as { items: Pulled[] };
      const items = page.items.filter(({ entry }) => !this.skips(entry as Entry));
      return json({ ...page, items, receipts: items.map(() => 'aaaaaa').join('') });
    }
    if (url.pathname !== '/api/digest') return answer;
    const sent = JSON.parse(init.body as string) as Digest;
    return json({ ...((await answer.json()) as object), ...this.#compared(sent) });
  }

  #compared({ position, lots, records }: Digest) {
    const own = new Map<string, Sum>();
    const all = this.journal.slice(0, position) as Stamped[];
    for (const { entry, stamp } of all) {
      const before = own.get(entry.lot ?? '') ?? { count: 0, sum: sumHex(0n) };
      const sum = sumHex(addSum(BigInt(`0x${before.sum}`), entryHash(canonical(entry), stamp)));
      own.set(entry.lot ?? '', { count: before.count + 1, sum });
    }
    const said = new Map(lots.map((lot) => [lot.lot, lot]));
    const names = [...new Set([...own.keys(), ...said.keys()])].sort();
    const none = { count: 0, sum: sumHex(0n) };
    const differ = names.filter((lot) => {
      const [mine, theirs] = [own.get(lot) ?? none, said.get(lot) ?? none];
      return mine.count !== theirs.count || mine.sum !== theirs.sum;
    });
    const [shown, recordsDiffer] = [differ.slice(0, this.most), this.#recordsThatDiffer(all, lots)];
    return {
      ...(differ.length > 0 && { equal: false }),
      ...(shown.length > 0 && { differ: shown, lots: shown.map((lot) => ({ lot, ...(own.get(lot) ?? none) })) }),
      ...(records !== undefined && recordsDiffer.length > 0 && { records_differ: recordsDiffer }),
      ...(differ.length > this.most && { more: true }),
    };
  }

  #recordsThatDiffer(all: readonly Stamped[], lots: Digest['lots']): string[] {
    if (!lots.some((lot) => lot.record_sum)) return [];
    const own = new Map<string, bigint>();
    for (const key of new Set(all.flatMap(({ entry }) => keys(entry)))) {
      const record = fold(
        key,
        all.filter(({ entry }) => keys(entry).includes(key)),
      );
      if (record) own.set(record.lot ?? '', addSum(own.get(record.lot ?? '') ?? 0n, recordHash(record)));
    }
    const said = new Map(lots.map(({ lot, record_sum }) => [lot, record_sum ?? sumHex(0n)]));
    return [...new Set([...own.keys(), ...said.keys()])]
      .filter((lot) => sumHex(own.get(lot) ?? 0n) !== (said.get(lot) ?? sumHex(0n)))
      .sort();
  }
}
