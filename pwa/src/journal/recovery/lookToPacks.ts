/** Finds, before the server is asked for anything, whether packs were lost or damaged. What is done about it comes as a script of its own. */
import { within } from '../store/base';
import { damagedPacks } from '../store/packs/packs';

export async function lookToPacks(): Promise<void> {
  const arePaired = await within('readonly', ['entries'], async (work) => {
    const counts = await Promise.all([work.objectStore('packs').count(), work.objectStore('packed').count()]);
    return counts[0] === counts[1];
  });
  if (arePaired && damagedPacks().length === 0) return;
  const { dropDamagedPacks, pairPacks } = await import('./packs');
  if (!arePaired) await pairPacks();
  await dropDamagedPacks();
}
