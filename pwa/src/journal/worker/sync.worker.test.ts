import 'fake-indexeddb/auto';
import { expect, test, vi } from 'vitest';

test('the sync worker starts where the system gives the browser a language that is none', async () => {
  vi.spyOn(navigator, 'languages', 'get').mockReturnValue(['C']);
  // Not the one that another test has left as it ended.
  vi.resetModules();
  const posted = vi.fn();
  vi.stubGlobal('postMessage', posted);
  await import('./sync.worker');
  // Its first word to the page: the last thing that its script does.
  expect(posted).toHaveBeenCalledWith(expect.objectContaining({ state: 'resting' }));
});
