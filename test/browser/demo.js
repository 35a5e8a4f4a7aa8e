// The invented workshop: its pages are full, so they are looked at here in both sizes.
import assert from 'node:assert/strict';
import { test } from './lib/tap.js';
import { as, faults, shoot } from './lib/browser.js';
import { server } from './lib/shared.js';
import { leave } from './lib/walk.js';

for (const kind of ['phone', 'desk']) {
  test(`demo: full pages are accessible and whole, ${kind}`, async (trace) => {
    const found = [];
    await as(kind, await server('demo'), { trace }, async (page) => {
      const see = async (name) => {
        trace(`look at ${name}`);
        await shoot(page, `demo-${name}`);
        trace('axe');
        for (const line of await faults(page)) found.push(`${name}: ${line}`);
      };
      await page.goto('/');
      await see('home');
      const finished = page.locator('ul.rows a[href^="/cars/"]').first();
      assert.equal(await finished.count(), 1, 'the demo has cars with finished rounds');
      await leave(page, finished);
      await see('car');
      await leave(page, page.locator('a[href$="/findings"]').first());
      await see('findings');
      await page.goto(page.url().replace(/findings$/, 'report'));
      await see('report');
      await page.goto('/');
      await leave(page, page.locator('ul.rows a[href^="/rounds/"]').first());
      await see('round');
      await leave(page, page.locator('a.go'));
      await see('point');
    });
    assert.deepEqual(found, []);
  });
}
