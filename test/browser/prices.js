// Rates and prices: terms, a list with a slip in it, the mended list, what it changes, undo. On the phone too, and without JavaScript.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { test } from './lib/tap.js';
import { as, faults, shoot } from './lib/browser.js';
import { server } from './lib/shared.js';
import { button, leave, link, unfold } from './lib/walk.js';

const s = () => server('prices');
const head = 'number;name;part;unit;price;tax;for\r\n';
const file = (text) => ({ name: 'list.csv', mimeType: 'text/csv', buffer: Buffer.from(`\ufeff${head}${text}`) });
const clean = async (page, name) => { await shoot(page, `prices-${name}`); assert.deepEqual(await faults(page), [], name); };

test('prices: how the workshop charges is said, and nothing counts before', async (trace) => {
  await as('phone', await s(), { trace }, async (page) => {
    await page.goto('/');
    await leave(page, link(page, 'Rates and prices'));
    await leave(page, link(page, 'Say how we charge'));
    await clean(page, 'terms-suggested');
    await page.getByLabel('An hour of labour').fill('84');
    await page.getByLabel('Rate', { exact: true }).first().fill('a fifth');
    await leave(page, button(page, 'Save how we charge'));
    await page.locator('#problems').filter({ hasText: 'Choose the currency' }).waitFor();
    await clean(page, 'terms-errors');
    await page.getByLabel('Currency').selectOption('EUR');
    await page.getByLabel('Rate', { exact: true }).first().fill('20');
    await page.getByLabel('Your initials').fill('NB');
    await leave(page, button(page, 'Save how we charge'));
    assert.match(page.url(), /\/terms\?did=saved$/);
    assert.equal(await page.getByLabel('An hour of labour').inputValue(), '84.00');
    await clean(page, 'terms-saved');
  });
});

for (const [kind, javaScriptEnabled] of [['desk', true], ['phone', false]]) {
  const price = kind === 'desk' ? '9,80' : '11,25';
  test(`prices: a slip is named by its line, the mended list is shown, then stored, ${kind}`, async (trace) => {
    await as(kind, await s(), { trace, javaScriptEnabled }, async (page) => {
      await page.goto('/prices');
      if (javaScriptEnabled) await clean(page, 'list-before');
      await page.getByLabel('File with prices').setInputFiles(file(`OIL;Engine oil;engine-oil;L;${price.replace(',', 'x')};;\r\nPAD;Pads;pad-st;set;45,90;;\r\n`));
      await leave(page, button(page, 'See what it changes'));
      const said = await page.locator('.faults').innerText();
      assert.match(said, /Line 2, price:/);
      assert.match(said, /Line 3, part:.*no part of the catalogue/);
      assert.equal(await button(page, 'Store this list').count(), 0);
      if (javaScriptEnabled) await clean(page, 'faults');
      const lines = page.getByLabel('Mend the lines here');
      await lines.fill((await lines.inputValue()).replace(price.replace(',', 'x'), price).replace('pad-st', 'pad-set'));
      await leave(page, button(page, 'Check again'));
      await page.getByRole('heading', { name: 'What the import changes' }).waitFor();
      assert.match(await page.locator('table.prices').first().innerText(), new RegExp(price.replace(',', '\\.')));
      if (javaScriptEnabled) await clean(page, 'preview');
      await leave(page, button(page, 'Store this list'));
      assert.match(page.url(), /\/prices\?did=saved$/);
      assert.match(await page.locator('main').innerText(), new RegExp(`Engine oil[\\s\\S]*${price.replace(',', '\\.')}`));
      if (javaScriptEnabled) await clean(page, 'list-saved');
    });
  }, { after: 'prices: how the workshop charges is said, and nothing counts before' });
}

test('prices: the import is undone, and the list comes back from its own file', async (trace) => {
  await as('phone', await s(), { trace }, async (page) => {
    await page.goto('/prices');
    assert.match(await page.locator('table.prices').innerText(), /11\.25/);
    const [download] = await Promise.all([page.waitForEvent('download'), link(page, 'Take the list as a file').click()]);
    const text = await readFile(await download.path(), 'utf8');
    assert.match(text, /^number,name,part,unit,price,tax,for\nOIL,Engine oil,engine-oil,L,11\.25,,\n/);
    await leave(page, button(page, 'Undo this import'));
    assert.match(await page.locator('table.prices').innerText(), /9\.80/);
    await clean(page, 'undone');
    await unfold(page, 'Type it in');
    await page.getByLabel('Lines').fill(text);
    await leave(page, button(page, 'See what it changes'));
    const row = await page.getByRole('region', { name: 'Changed prices' }).innerText();
    assert.match(row, /9\.80[\s\S]*11\.25/);
    const cut = await page.evaluate(() => [...document.querySelectorAll('.scroll')].filter((x) => x.scrollWidth > x.clientWidth).length);
    assert.equal(cut, 0, 'old and new price are seen without moving the table');
    await clean(page, 'preview-changed');
    await leave(page, link(page, 'Leave the list as it was'));
    assert.match(await page.locator('table.prices').innerText(), /9\.80/);
  });
}, { after: 'prices: a slip is named by its line, the mended list is shown, then stored, phone' });
