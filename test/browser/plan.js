// The plan: visits of a car of the invented workshop; moving a job shows what it costs before anything is kept, survives a reload, and is let
// go again. An empty car's plan says so. On a phone without scripts, and at a desk.
import assert from 'node:assert/strict';
import { test } from './lib/tap.js';
import { as, faults, shoot } from './lib/browser.js';
import { server } from './lib/shared.js';
import { button, leave, link, newCar } from './lib/walk.js';

const see = (page, found) => async (name) => {
  await shoot(page, `plan-${name}`);
  for (const line of await faults(page)) found.push(`${name}: ${line}`);
};

/** Opens the plan of a demo car that has something to move. */
async function openPlan(page) {
  await page.goto('/');
  const cars = await page.locator('ul.rows a[href^="/cars/"]').evaluateAll((list) => list.map((a) => a.getAttribute('href')));
  for (const car of cars) {
    await page.goto(car);
    await leave(page, link(page, 'Plan of visits'));
    if (await page.locator('.planmove').count()) return;
  }
  assert.fail('no demo car has a job that can be moved');
}

for (const kind of ['phone', 'desk']) {
  test(`plan: visits with their jobs; a move shows its cost, stays, and is let go, ${kind}`, async (trace) => {
    const found = [];
    await as(kind, await server('demo'), { trace, javaScriptEnabled: kind === 'desk' }, async (page) => {
      await openPlan(page);
      assert.ok(await page.locator('section.planned').count() > 0, 'no visit is planned');
      assert.match(await page.locator('main').innerText(), /jobs? at \d+ visits? within two years/);
      assert.ok(await page.locator('.plandraw').isVisible(), 'no time axis');
      const line = await page.locator('.planrow .line').first().boundingBox();
      assert.ok(line.width > 200 && line.x + line.width < page.viewportSize().width, `the line of a job is ${line.width} wide from ${line.x}`);
      if (kind === 'desk') await see(page, found)('visits');
      const want = page.locator('.planwant', { has: page.locator('.planmove') }).first();
      const key = await want.locator('input[name=want]').first().getAttribute('value');
      const on = await want.locator('select option').nth(2).getAttribute('value');
      await want.locator('select').selectOption(on);
      await leave(page, want.getByRole('button', { name: /^See what it costs/ }));
      assert.match(await page.locator('main').innerText(), /weighs (the same|.* (more|less))|can't stand there/);
      if (kind === 'desk') await see(page, found)('move');
      await leave(page, button(page, 'Put it there'));
      assert.match(await page.locator('.notice').innerText(), /where you put it/);
      await page.goto(page.url().split('?')[0]);
      const pinned = page.locator('section.planned', { has: page.locator(`input[name=want][value="${key}"]`) });
      assert.equal(await pinned.getAttribute('aria-labelledby'), `v-${on}`, 'after a reload it stands elsewhere');
      if (kind === 'desk') await see(page, found)('pinned');
      await leave(page, page.getByRole('button', { name: /^Let the plan choose again/ }).first());
      assert.match(await page.locator('.notice').innerText(), /planned anew/);
      assert.equal(await page.getByRole('button', { name: /^Let the plan choose again/ }).count(), 0);
    });
    assert.deepEqual(found, []);
  });
}

test('plan: a car that asks for nothing says so', async (trace) => {
  const found = [];
  await as('phone', await server('plan'), { trace }, async (page) => {
    await newCar(page, { plate: 'PL-4N 700', description: 'Hatchback 1.2 petrol, green', first: '2020-05', odometer: '20 000', by: 'IF' });
    await leave(page, link(page, 'Plan of visits'));
    assert.match(await page.locator('main').innerText(), /Nothing that was looked at or is foreseen within two years asks for work/);
    await see(page, found)('empty');
  });
  assert.deepEqual(found, []);
});
