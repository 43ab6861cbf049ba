/** What becomes of a note that could not be saved at its tap. */
import { afterEach, expect, test, vi } from 'vitest';
import { Nursery, openTab } from '../nursery.testing';

const DEVICE = '00000000000000d1';

afterEach(() => {
  vi.restoreAllMocks();
  localStorage.clear();
});

test.each(['stash', 'again'] as const)(
  'a note that a full phone set aside has the time of its tap, not that at which it could be saved (saved from %s)',
  async (from) => {
    const phone = await openTab(new Nursery(), DEVICE);
    const tapped = Date.now();
    const clock = vi.spyOn(Date, 'now').mockReturnValue(tapped);
    const kept = phone.write.intent('note', { words: 'full' });
    const full = async () => {
      throw new DOMException('full', 'QuotaExceededError');
    };
    await expect(phone.write.save([kept], full)).rejects.toMatchObject({ kept: 'stash' });
    clock.mockReturnValue(tapped + 3_600_000);
    await expect(phone.write.save([kept], full)).rejects.toMatchObject({ kept: 'stash' });
    clock.mockReturnValue(tapped + 7_200_000);
    const [saved] = await phone.write.save(from === 'stash' ? phone.stash.stash.value : [kept]);
    // What the phone has heard from the server since then says nothing of when it was tapped.
    expect(saved?.entry).toMatchObject({ wall: tapped, floor: 0 });
  },
);
