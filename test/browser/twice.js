// The same job on two estimates of one car, as two advisers made them: once one is agreed, the other says so to the adviser, to the owner
// and on the sheet of the work.
import assert from 'node:assert/strict';
import { test } from './lib/tap.js';
import { as, faults, shoot } from './lib/browser.js';
import { server } from './lib/shared.js';
import { answer, button, goTo, leave, newCar, press, startRound } from './lib/walk.js';

const s = () => server('twice');
const main = (page) => page.locator('#main').innerText();

/** Makes an estimate of what the car asks for, prices it and gives its address and the owner's. */
async function offered(page, car) {
  await page.goto(`${car}/estimates`);
  await leave(page, button(page, 'Make the estimate'));
  const estimate = page.url().split('?')[0];
  for (;;) {
    await page.goto(estimate);
    const open = page.locator('.lines a', { has: page.locator('.tag', { hasText: 'price missing' }) });
    if (await open.count() === 0) break;
    await leave(page, open.first());
    await page.getByLabel('Price of one').fill('40');
    await leave(page, button(page, 'Store the line'));
  }
  await page.goto(`${estimate}/offer`);
  await page.getByLabel('Your initials').fill('IF');
  await leave(page, page.getByRole('button', { name: /^Make the link/ }));
  return { estimate, owner: new URL(await page.getByLabel('Link to the estimate').inputValue()).pathname };
}

/** Accepts every line under a link, and gives what the page said before. */
async function accept(page, owner) {
  await page.goto(owner);
  const said = await main(page);
  await shoot(page, 'twice-owner');
  for (const yes of await page.locator('label.answer', { hasText: 'Accept' }).all()) await press(yes);
  await leave(page, button(page, 'See the total and check'));
  await shoot(page, 'twice-check');
  await page.getByLabel('Your name').fill('Imogen Fell');
  await leave(page, page.getByRole('button', { name: /^Sign: yes to/ }));
  return said;
}

test('twice: what is agreed on one estimate is said on the other, to the adviser and to the owner, and on its work', async (trace) => {
  const found = [];
  let one, two;
  await as('desk', await s(), { trace }, async (page) => {
    await page.goto('/terms');
    await page.getByLabel('Currency').selectOption('EUR');
    await page.getByLabel('An hour of labour').fill('90');
    await page.locator('.taxline').first().getByLabel(/rate/i).fill('19');
    await page.getByLabel('Your initials').fill('IF');
    await leave(page, button(page, 'Save how we charge'));
    const car = await newCar(page, { plate: 'TW-2E 117', description: 'Hatchback 1.4 petrol, blue', first: '2012-06', odometer: '98 300', by: 'IF' });
    const round = await startRound(page, { km: '98 350', by: 'IF', sure: /read on the same day/ });
    await goTo(page, round, 'Pad lining thickness');
    await answer(page, { values: ['1.5', '1.5', '2', '1.5', '7', '7', '7', '7'] });
    one = await offered(page, car);
    two = await offered(page, car);
  });
  await as('phone', await s(), { trace }, async (page) => assert.doesNotMatch(await accept(page, one.owner), /agreed already/));
  await as('desk', await s(), { trace }, async (page) => {
    for (const [name, path] of [['builder', two.estimate], ['offer', `${two.estimate}/offer`]]) {
      await page.goto(path);
      await shoot(page, `twice-${name}`);
      assert.match(await main(page), /Already agreed on estimate 20\d\d-0001, item 1\./);
      for (const line of await faults(page)) found.push(`${name}: ${line}`);
    }
  });
  await as('phone', await s(), { trace }, async (page) => {
    assert.match(await accept(page, two.owner), /This work is agreed already, on estimate 20\d\d-0001, item 1, and is still to be done\./);
    for (const line of await faults(page)) found.push(`receipt: ${line}`);
  });
  await as('phone', await s(), { trace }, async (page) => {
    await page.goto(`${two.estimate}/offer`);
    await leave(page, page.getByRole('link', { name: 'The work that was agreed' }));
    await shoot(page, 'twice-work');
    assert.match(await main(page), /On another estimate too\.[^]*Already agreed on estimate 20\d\d-0001, item 1\./);
    for (const line of await faults(page)) found.push(`work: ${line}`);
  });
  assert.deepEqual(found, []);
});
