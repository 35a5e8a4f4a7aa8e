// The sums: by form alone, following what is typed, and what cannot be used.
import assert from 'node:assert/strict';
import { test } from './lib/tap.js';
import { as, faults } from './lib/browser.js';
import { server } from './lib/shared.js';
import { button } from './lib/walk.js';

const noRest = { force: true };

test('sums: without script the form answers, and keeps what cannot be used', async (trace) => {
  await as('phone', await server('path'), { trace, javaScriptEnabled: false }, async (page) => {
    await page.goto('/');
    await page.getByRole('link', { name: 'Sums', exact: true }).click(noRest);
    await page.getByRole('link', { name: /how much concentrate/ }).click(noRest);
    await page.getByRole('radio', { name: 'Ethylene' }).check(noRest);
    for (const [label, value] of [['Capacity of the system', '7.5'], ['Protects now to', '-20C'], ['Can be drained', '4L'], ['Shall protect to', '-37C']]) {
      await page.getByLabel(label).fill(value);
    }
    await button(page, 'Work it out').click(noRest);
    await page.locator('#problems').waitFor();
    assert.match(await page.locator('#problems').innerText(), /Capacity of the system: “7.5” lacks its unit/);
    assert.equal(await page.getByLabel('Protects now to').inputValue(), '-20C', 'what was typed stays');
    await page.getByLabel('Capacity of the system').fill('7.5L');
    await button(page, 'Work it out').click(noRest);
    await page.locator('#result').waitFor();
    // 7.5*0.5 - 3.5*0.35167 = 2.519 L.
    assert.match(await page.locator('#answer').innerText(), /2\.519 L[^]*1\.481 L/);
  });
});

for (const kind of ['phone', 'desk']) {
  test(`sums: the answer follows what is typed, ${kind}`, async (trace) => {
    await as(kind, await server('path'), { trace }, async (page) => {
      await page.goto('/sums/tread');
      const found = await faults(page);
      await page.getByLabel('Depth of the shallowest main groove').fill('5');
      await page.locator('#answer', { hasText: 'lacks its unit' }).waitFor();
      assert.equal(await page.locator('#answer .sumok').count(), 0, 'no answer stands beside a mistake');
      await page.getByLabel('Depth of the shallowest main groove').fill('5/32in');
      await page.getByRole('radio', { name: 'Winter' }).check();
      // 5*0.79375 = 3.969 mm, under the 4 mm of winter.
      await page.locator('#answer', { hasText: 'Watch' }).waitFor();
      assert.match(await page.locator('#answer').innerText(), /3\.969 mm/);
      assert.match(await page.locator('#said').textContent(), /Verdict: watch/);
      assert.match(page.url(), /depth=5%2F32in/, 'the address holds the sum');
      await page.getByRole('radio', { name: 'Summer' }).check();
      await page.locator('#answer', { hasText: 'Sound' }).waitFor();
      found.push(...await faults(page));
      await page.reload();
      assert.match(await page.locator('#answer').innerText(), /Sound/);
      await page.context().setOffline(true);
      await page.getByLabel('Depth of the shallowest main groove').fill('1mm');
      await page.locator('.stale', { hasText: "can't be reached" }).waitFor();
      await page.context().setOffline(false);
      await page.goto('/sums');
      found.push(...await faults(page));
      assert.deepEqual(found, []);
    });
  });
}
