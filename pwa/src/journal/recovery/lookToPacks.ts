/** Finds, before the server is asked for anything, whether packs were lost or damaged. What is done about it comes as a script of its own. */
import { within } from '../store/base';
import { packsScript } from '../store/packs/script';

export async function lookToPacks(): Promise<void> {
  const counts = await within('readonly', ['entries'], (work) =>
    Promise.all([work.objectStore('packs').count(), work.objectStore('packed').count()]),
  );
  if (counts.every((count) => count === 0)) return;
  const arePaired = counts[0] === counts[1];
  if (arePaired && (await packsScript()).damagedPacks().length === 0) return;
  const { dropDamagedPacks, pairPacks } = await import('./packs');
  if (!arePaired) await pairPacks();
  await dropDamagedPacks();
}
