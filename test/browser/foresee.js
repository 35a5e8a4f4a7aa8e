// What comes: the range expected beside each entry, a question before what lies outside it, what a reading means, renewals at a
// place, the owner's ten figures, and the page that asks whether we are right.
import assert from 'node:assert/strict';
import { test } from './lib/tap.js';
import { as, faults, shoot } from './lib/browser.js';
import { server } from './lib/shared.js';
import { answer, button, goTo, leave, link, newCar, problems, saved, unfold, unfoldAll } from './lib/walk.js';

const s = () => server('foresee');
const padName = 'Pad lining thickness';
let car, round;

const see = (page, found) => async (name) => {
  await shoot(page, `foresee-${name}`);
  for (const line of await faults(page)) found.push(`${name}: ${line}`);
};

/** Starts a round on a day. */
async function roundOn(page, on, km) {
  await page.goto(car);
  const form = page.locator('form', { has: button(page, 'Start the round') });
  await form.getByLabel('Day').fill(on);
  await form.getByLabel('Odometer').fill(km);
  await form.getByLabel('Your initials').fill('IF');
  await leave(page, button(page, 'Start the round'));
  assert.match(page.url(), /\/rounds\/[0-9a-f-]{36}$/);
  return page.url();
}

for (const kind of ['phone', 'desk']) {
  test(`foresee: an empty workshop has nothing to be right about, ${kind}`, async (trace) => {
    const found = [];
    await as(kind, await s(), { trace }, async (page) => {
      await page.goto('/');
      await leave(page, link(page, 'Are we right?'));
      assert.match(await page.locator('main').innerText(), /Nothing was looked at yet|Nothing yet/);
      await see(page, found)('right-empty');
    });
    assert.deepEqual(found, []);
  });
}

test('foresee: a car with a round of half a year ago', async (trace) => {
  await as('phone', await s(), { trace }, async (page) => {
    car = await newCar(page, { plate: 'LW-8K 415', description: 'Hatchback 1.4 petrol, blue', first: '2014-06', odometer: '90 000', by: 'IF' });
    const past = new Date(Date.now() - 180 * 864e5).toISOString().slice(0, 10);
    // A day in the past wants a distance that fits the odometer: less than what was entered today.
    const old = await roundOn(page, past, '84 000');
    await goTo(page, old, padName);
    await answer(page, { values: ['8.5'] });
    await page.goto(`${old}/check`);
    round = await roundOn(page, new Date().toISOString().slice(0, 10), '90 050').catch(async () => {
      await page.getByRole('checkbox', { name: /^Yes, this is right/ }).check();
      await leave(page, button(page, 'Start the round'));
      return page.url();
    });
    assert.match(round, /\/rounds\/[0-9a-f-]{36}$/);
  });
});
const withCar = { after: 'foresee: a car with a round of half a year ago' };

for (const kind of ['phone', 'desk']) {
  test(`foresee: the range expected stands beside the entry, and a slip is asked about while it is typed, ${kind}`, async (trace) => {
    const found = [];
    await as(kind, await s(), { trace }, async (page) => {
      await goTo(page, round, padName);
      const field = page.locator('.cell input').first();
      assert.match(await page.locator('.cell .likely').first().innerText(), /\d\.\d–\d\.\d/);
      assert.match(await page.locator('svg.scale').getAttribute('aria-label'), /limit .*last 8\.5.*expected today/);
      await see(page, found)('expected');
      await field.fill('45');
      const sure = page.locator('.asksure');
      assert.match(await sure.innerText(), /^Sure\? 45 is not what was to be expected/);
      await see(page, found)('doubt');
      await field.fill((await field.getAttribute('data-likely')).split('–')[0]);
      await page.waitForFunction(() => !document.querySelector('.asksure')?.textContent);
      await field.fill('11.9');
      await leave(page, button(page, 'Save').last());
      assert.match(await problems(page).innerText(), /Is this right\?[^]*not what was to be expected/);
      assert.equal(await page.locator('.cell input').first().inputValue(), '11.9', 'what was typed stands');
      await see(page, found)('asked');
      await page.locator('.cell input').first().fill('');
    });
    assert.deepEqual(found, []);
  }, withCar);
}

test('foresee: a doubtful value is stored once it is confirmed, and the page says what it means', async (trace) => {
  await as('phone', await s(), { trace }, async (page) => {
    await goTo(page, round, padName);
    for (const f of await page.locator('.cell input').all()) await f.fill((await f.getAttribute('data-likely')).split('–')[0]);
    await page.locator('.cell input').first().fill('3.6');
    await leave(page, button(page, 'Save').last());
    if (await problems(page).count()) await leave(page, button(page, 'Yes, store it as typed'));
    assert.match(await saved(page).innerText(), /Saved: Pad lining[^]*Watch[^]*reaches 3\.0 mm/);
    await shoot(page, 'foresee-saved');
    assert.deepEqual(await faults(page), []);
  });
}, withCar);

for (const kind of ['phone', 'desk']) {
  test(`foresee: findings and report tell what comes, ${kind}`, async (trace) => {
    const found = [];
    await as(kind, await s(), { trace }, async (page) => {
      for (const path of ['findings', 'report']) {
        await page.goto(`${round}/${path}`);
        assert.match(await page.locator('main').innerText(), /What comes[^]*Will probably reach 3\.0 mm/);
        await unfoldAll(page);
        await see(page, found)(path);
      }
    });
    assert.deepEqual(found, []);
  }, { after: 'foresee: a doubtful value is stored once it is confirmed, and the page says what it means' });
}

test('foresee: where something was renewed is asked of what the car has more than once', async (trace) => {
  await as('desk', await s(), { trace }, async (page) => {
    await page.goto(car);
    const fold = await unfold(page, 'Enter a renewal');
    const item = fold.getByLabel('Item'), where = fold.getByLabel('Where');
    await item.selectOption({ label: 'Coolant' });
    assert.equal(await where.isVisible(), false, 'a car has one cooling system');
    await item.selectOption('pads');
    assert.equal(await where.isVisible(), true);
    await where.selectOption({ label: 'front axle' });
    await shoot(page, 'foresee-renewal');
    assert.deepEqual(await faults(page), []);
    await leave(page, button(page, 'Store the renewal'));
    assert.match(await page.locator('.notice').innerText(), /renewal is stored/);
  });
  await as('phone', await s(), { trace, javaScriptEnabled: false }, async (page) => {
    await page.goto(car);
    const fold = await unfold(page, 'Enter a renewal');
    await fold.getByLabel('Item').selectOption({ label: 'Coolant' });
    await fold.getByLabel('Where').selectOption({ label: 'front axle' });
    await leave(page, button(page, 'Store the renewal'));
    assert.match(await problems(page).innerText(), /no place of its own on this car/);
  });
}, withCar);

for (const javaScriptEnabled of [true, false]) {
  test(`foresee: learning again, ${javaScriptEnabled ? 'with' : 'without'} scripts`, async (trace) => {
    const found = [];
    await as('phone', await s(), { trace, javaScriptEnabled }, async (page) => {
      await page.goto('/right');
      await leave(page, button(page, /^Learn (again )?now$/));
      for (let i = 0; i < 120 && !(await page.getByText(/^Learned on/).count()); i++) {
        await page.waitForTimeout(500);
        await page.goto('/right');
      }
      assert.match(await page.locator('main').innerText(), /Learned on .* from [\d\s]+ looks? at/);
      if (javaScriptEnabled) { await unfoldAll(page); await see(page, found)('right-learned'); }
    });
    assert.deepEqual(found, []);
  }, withCar);
}

for (const kind of ['phone', 'desk']) {
  test(`foresee: the invented workshop says whether it was right, ${kind}`, async (trace) => {
    const found = [];
    await as(kind, await server('demo'), { trace }, async (page) => {
      await page.goto('/right');
      await see(page, found)('right-demo');
      await unfoldAll(page);
      await see(page, found)('right-demo-unfolded');
    });
    assert.deepEqual(found, []);
  });
}
