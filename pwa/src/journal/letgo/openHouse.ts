/** Houses that somebody opens on this phone besides those that the supervisor gave: their lots come one by one, each with its proof. */
import { within } from '../store/base';
import { publish } from '../store/changes';
import { wake } from '../worker/wake';
import { carriedOf } from './carried';

/** Opens a house, or closes it again. */
export async function keepHouse(house: string, isOpen: boolean): Promise<void> {
  await within('readwrite', ['meta'], async (work) => {
    const carried = await carriedOf(work);
    if (!carried) return;
    const others = carried.opened.filter((each) => each !== house);
    await work.objectStore('meta').put({ ...carried, opened: isOpen ? [...others, house].sort() : others }, 'carried');
  });
  publish({ queue: true });
  wake('asked');
}
