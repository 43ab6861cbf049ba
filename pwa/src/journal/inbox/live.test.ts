import { signal } from '@preact/signals-core';
import { expect, test, vi } from 'vitest';
import { listen } from './live';

test('a phone that nobody has paired opens no socket; once paired it opens one', () => {
  const opened: string[] = [];
  class Socket extends EventTarget {
    static readonly OPEN = 1;
    readonly readyState = 0;
    constructor(url: string) {
      super();
      opened.push(new URL(url).pathname);
    }
  }
  vi.stubGlobal('WebSocket', Socket);
  try {
    const paired = signal<{ person: string } | undefined>(undefined);
    listen(paired);
    dispatchEvent(new Event('online'));
    expect(opened).toEqual([]);
    paired.value = { person: 'one' };
    expect(opened).toEqual(['/api/live']);
    paired.value = { person: 'another' };
    expect(opened).toEqual(['/api/live']);
  } finally {
    vi.unstubAllGlobals();
  }
});
