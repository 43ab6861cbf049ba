/** The forms that only compute: a mix for a tank of either gallon, and the light under a cloth. */
import { cleanup, fireEvent, render, screen } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { speak } from '../../words';
import { Mix } from './forms/Mix';
import { Shade } from './forms/Shade';

const place = { lot: '', bed: '' };

beforeEach(() => speak('en'));
afterEach(() => {
  cleanup();
  vi.restoreAllMocks();
});

function from(region: string): void {
  vi.spyOn(navigator, 'languages', 'get').mockReturnValue([region]);
}

const type = (label: string, text: string) =>
  fireEvent.input(screen.getByLabelText(label, { selector: 'input' }), { target: { value: text } });

// 10 imperial gallons are 45.4609 L by definition; 45.46 L of 100 ppm from a liquid of 10 % w/v (100 mg/mL) take 45.46 mL.
test('a tank with marks in imperial gallons is a fifth larger, and the choice stands where English is British', async () => {
  from('en-IE');
  render(<Mix place={place} />);
  fireEvent.click(await screen.findByText('liquid: % w/v (g in 100 mL)'));
  type('Active ingredient on the container, in percent', '10');
  type('Strength the label allows, in ppm', '100');
  type('How much mix', '10');
  expect(screen.getByRole('status').textContent).toContain('10\u202fmL of product for 10\u202fL of mix');
  fireEvent.click(screen.getByText(/^imperial gallons/));
  expect(screen.getByRole('status').textContent).toContain('45.46\u202fmL of product for 45.46\u202fL of mix');
  expect(screen.getByText('imp gal')).toBeTruthy();
  // Of pots or an area the tank does not matter.
  fireEvent.click(screen.getByText('drench'));
  expect(screen.queryByText(/^imperial gallons/)).toBeNull();
});

test.each(['en-US', 'es-MX'])('nobody is asked about imperial gallons on a phone set to %s', async (region) => {
  from(region);
  render(<Mix place={place} />);
  await screen.findByText('liquid: % w/v (g in 100 mL)');
  expect(screen.queryByText(/^imperial gallons/)).toBeNull();
});

// By hand: 42 x 0.62 x (1 - 0.55) = 11.718.
test('the light under a roof and a cloth, and what no roof or cloth can be', async () => {
  render(<Shade place={place} />);
  await screen.findByLabelText('Light outdoors in a day', { selector: 'input' });
  type('Light outdoors in a day', '42');
  type('Light that the roof lets through', '62');
  expect(screen.queryByRole('status')).toBeNull();
  type('Shade of the cloth', '55');
  expect(screen.getByRole('status').textContent).toBe(
    '11.7\u202fmol/m² a day at the plants.Without the cloth 26.0\u202fmol/m². Lamps come on top.',
  );
  type('Shade of the cloth', '100');
  expect(screen.getByRole('alert').textContent).toBe('The cloth: from 0 to under 100 %.');
  type('Light outdoors in a day', '4200');
  expect(screen.getByRole('alert').textContent).toMatch(/^Light outdoors: above 0, at most 80/);
});

// The label of a fertilizer binds as that of a pesticide does: what its form says before anything is weighed is on the sheet too.
test.each([
  [
    'spray, so much mix',
    ['Active ingredient on the container, in percent', 'Strength the label allows, in ppm', 'How much mix'],
  ],
  [
    'fertilizer stock for an injector',
    [
      'The nutrient on the bag, in percent',
      'Strength at the plants, in ppm of that nutrient',
      'Injector ratio: one to how many',
      'How much stock',
    ],
  ],
])('the sheet of one batch has every caution of its form, in both languages: %s', async (use, fields) => {
  from('en-US');
  const print = vi.fn();
  vi.stubGlobal('print', print);
  const { container } = render(<Mix place={place} />);
  fireEvent.click(await screen.findByText(use));
  if (fields.length === 3) fireEvent.click(screen.getByText('liquid: % w/v (g in 100 mL)'));
  for (const field of fields) type(field, '50');
  const texts = (of: string) => [...container.querySelectorAll(of)].map((each) => each.textContent);
  const asked = texts('.cautions .caution > p:not(.quiet)');
  expect(asked.some((line) => line?.startsWith('The label is the law.'))).toBe(true);
  fireEvent.click(screen.getByRole('button', { name: 'Print the batch sheet' }));
  expect(print).toHaveBeenCalledOnce();
  const both = texts('.batchsheet li > span').join(' ');
  for (const line of [...asked, ...texts('.cautions .caution > p.quiet')]) expect(both).toContain(line);
});
