// The estimate builder: made from the plan, a line refused and mended, a discount, undo, the history, and the PDF. On a phone without
// scripts, and at a desk.
import assert from 'node:assert/strict';
import { test } from './lib/tap.js';
import { as, faults, shoot } from './lib/browser.js';
import { server } from './lib/shared.js';
import { button, leave, link } from './lib/walk.js';

/** The amount that stands under a name at the head. */
const top = (page, name) => page.locator('dl.plate div', { hasText: name }).locator('dd').innerText();

for (const kind of ['phone', 'desk']) {
  const scripts = kind === 'desk';
  test(`estimate: made, a line refused and changed, discounted, undone, on paper, ${kind}`, async (trace) => {
    const found = [];
    await as(kind, await server('demo'), { trace, javaScriptEnabled: scripts }, async (page) => {
      const see = async (name) => {
        if (!scripts) return;
        await shoot(page, `estimate-${name}`);
        for (const line of await faults(page)) found.push(`${name}: ${line}`);
      };
      await page.goto('/');
      const cars = await page.locator('ul.rows a[href^="/cars/"]').evaluateAll((list) => list.map((a) => a.getAttribute('href')));
      for (const car of cars) {
        await page.goto(car);
        await leave(page, link(page, 'Estimates'));
        await leave(page, button(page, 'Make the estimate'));
        if (await page.locator('.lines a').count()) {
          await page.goto(`${car}/estimates`);
          await see('list');
          await leave(page, page.locator('ul.rows a').first());
          break;
        }
      }
      const home = page.url().split('?')[0];
      await see('made');
      const before = await top(page, 'to pay');
      await leave(page, page.locator('.lines a').first());
      await see('line');
      await page.getByLabel('How much').fill('none');
      await leave(page, button(page, 'Store the line'));
      await page.locator('#problems').waitFor();
      assert.equal(await page.getByLabel('How much').inputValue(), 'none', 'what was typed is kept');
      await see('refused');
      await page.getByLabel('How much').fill('3');
      await page.getByLabel('Price of one').fill('84');
      await leave(page, button(page, 'Store the line'));
      const three = await top(page, 'to pay');
      assert.notEqual(three, before, 'the quantity moves the total');
      await page.goto(home);
      await leave(page, link(page, 'Discount, days and note'));
      await see('head');
      await page.getByLabel('Discount on everything, in percent').fill('10');
      await leave(page, button(page, 'Store the change'));
      assert.notEqual(await top(page, 'to pay'), three);
      await page.goto(home);
      await leave(page, button(page, 'Undo the last change'));
      assert.equal(await top(page, 'to pay'), three, 'undo brings the total back');
      for (const name of ['history', 'item', 'prices']) {
        await page.goto(`${home}/${name}`);
        await see(name);
      }
      await page.goto(`${home}/history`);
      assert.match(await page.locator('.versions').innerText(), /Version 4[^]*Version 1/);
      const pdf = await page.context().request.get(`${home}/estimate.pdf`);
      assert.equal(pdf.status(), 200);
      assert.match((await pdf.body()).subarray(0, 5).toString(), /%PDF-/);
    });
    assert.deepEqual(found, []);
  });
}
