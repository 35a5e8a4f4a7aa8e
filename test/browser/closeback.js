// Taking a close-out back: the work is closed out, taken back with a reason, open again with its ticks, and closed out anew. A renewal that
// was entered by hand is taken back on the car's page. Closed-out work is not put before the owner again.
import assert from 'node:assert/strict';
import { test } from './lib/tap.js';
import { as, faults, shoot } from './lib/browser.js';
import { server } from './lib/shared.js';
import { answer, button, goTo, leave, link, newCar, press, problems, problemWords, startRound, unfold } from './lib/walk.js';

const s = () => server('closeback');
const main = (page) => page.locator('#main').innerText();
const see = (found, page) => async (name) => {
  await shoot(page, `closeback-${name}`);
  for (const line of await faults(page)) found.push(`${name}: ${line}`);
};
let car, estimate, work;

/** Closes the work on the page out: everything done, the new pads read. */
async function closeOut(page, km) {
  await page.goto(`${work}/close`);
  for (const group of await page.locator('.closeitem').all()) await press(group.locator('label.answer').first());
  await page.getByLabel('Odometer', { exact: true }).fill(km);
  for (const field of await page.getByLabel(/^Front .*, lining left$/).all()) await field.fill('11.5');
  await leave(page, button(page, 'Close out the work'));
  assert.match(page.url(), /\/done\?did=closed$/, await problemWords(page));
}

const agreed = 'closeback: pads are agreed to by word of mouth';
test(agreed, async (trace) => {
  await as('desk', await s(), { trace }, async (page) => {
    await page.goto('/terms');
    await page.getByLabel('Currency').selectOption('EUR');
    await page.getByLabel('An hour of labour').fill('90');
    await page.locator('.taxline').first().getByLabel(/rate/i).fill('20');
    await page.getByLabel('Your initials').fill('IF');
    await leave(page, button(page, 'Save how we charge'));
    car = await newCar(page, { plate: 'CB-2T 340', description: 'Estate 1.6 petrol, blue', first: '2014-03', odometer: '98 200', by: 'IF' });
    const round = await startRound(page, { km: '98 200', by: 'IF' });
    await goTo(page, round, 'Pad lining thickness');
    await answer(page, { values: ['1.5', '1.5', '2', '1.5', '7', '7', '7', '7'] });
    await page.goto(`${car}/estimates`);
    await leave(page, button(page, 'Make the estimate'));
    estimate = page.url().split('?')[0];
    for (;;) {
      await page.goto(estimate);
      const open = page.locator('.lines a', { has: page.locator('.tag', { hasText: 'price missing' }) });
      if (await open.count() === 0) break;
      await leave(page, open.first());
      await page.getByLabel('Price of one').fill('50');
      await leave(page, button(page, 'Store the line'));
    }
    await page.goto(`${estimate}/spoken`);
    for (const ask of await page.locator('.ask').all()) await press(ask.locator('label.answer').first());
    await leave(page, page.getByRole('button', { name: /^See the total|^Check|^Work out/ }).first());
    await leave(page, page.getByRole('button', { name: /^Store|^Write/ }).first());
    await page.goto(`${estimate}/offer`);
    await leave(page, link(page, 'The work that was agreed'));
    work = page.url();
    await leave(page, page.locator('.tick').first());
  });
});
