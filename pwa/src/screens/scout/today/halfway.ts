import { useStored, potsOfWalk } from '../../../journal/records/read';
import type { WalkRow } from '../../../journal/records/registers';
import { openWalks } from '../walk/open';

/** This person's walks that were begun and not ended, with how many pots they have. */
export function useHalfway(person: string | undefined): { walk: WalkRow; seen: number }[] {
  const open = openWalks(person);
  const ids = open.map((walk) => walk.id).join(' ');
  const counts = useStored(
    async () =>
      new Map(await Promise.all(open.map(async (walk) => [walk.id, (await standing(walk.id)).length] as const))),
    [ids],
  );
  return open.map((walk) => ({ walk, seen: counts?.get(walk.id) ?? 0 }));
}

async function standing(walk: string) {
  return (await potsOfWalk(walk)).filter((pot) => !pot.voided);
}
