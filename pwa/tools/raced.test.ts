import { expect, test } from 'vitest';
import { raced, racedOf } from './raced.mjs';

const one = 'func TestOne(t *testing.T) {\n\topen(t)\n}\n';
const many = 'func TestMany(t *testing.T) {\n\tvar group errgroup.Group\n\tgroup.Go(run)\n}\n';

test('the tests of a file that begins goroutines run under the race detector, and no others', () => {
  const { packages, names } = racedOf({ 'server/a/one_test.go': one, 'server/b/many_test.go': many });
  expect(packages).toStrictEqual(['./server/b']);
  expect(names).toBe('^(TestMany)$');
});

test.each(['go func() {}()', 'go server.Serve(l)', 'wait.Go(f)', 'httptest.NewServer(h)', 's.listen(p)'])(
  '%s begins a goroutine',
  (line) => {
    expect(racedOf({ 'server/a/a_test.go': one.replace('open(t)', line) }).names).toBe('^(TestOne)$');
  },
);

test.each(['//go:build !race', '// where they go (and why)', 's.letGo()'])('%s begins none', (line) => {
  expect(racedOf({ 'server/a/a_test.go': one.replace('open(t)', line) }).packages).toStrictEqual([]);
});

test('a name that would choose two tests is an error', () => {
  expect(() => racedOf({ 'server/a/many_test.go': many, 'server/b/x_test.go': one.replace('One', 'Many') })).toThrow(
    'rename one',
  );
});

test('what phones do at once on one server, the hub and the running program are watched', () => {
  const { packages, names } = raced();
  expect(packages).toEqual(expect.arrayContaining(['./server', './server/api', './server/live', './server/photos']));
  expect(names).toMatch(/\bTestTwentyPhonesAtOnce/);
});
