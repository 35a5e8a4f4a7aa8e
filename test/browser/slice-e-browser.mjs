process.chdir('/work/main/test/browser');
const { open, close, as, faults } = await import('/work/main/test/browser/lib/browser.js');
import assert from 'node:assert/strict';
const server = { url: 'http://127.0.0.1:8795' };
await open();
for (const kind of ['phone', 'desk']) for (const js of [true, false]) {
  const found = [];
  await as(kind, server, { javaScriptEnabled: js }, async (page) => {
    const go = { force: true };
    const check = async (n) => { if (js) found.push(...(await faults(page)).map((x) => `${n}: ${x}`)); };
    const top = async (name) => (await page.locator('dl.plate div', { hasText: name }).locator('dd').innerText());
    await page.goto('/'); const car = await page.locator('a[href^="/cars/018"]').nth(3).getAttribute('href');
    await page.goto(car); await page.getByRole('link', { name: 'Estimates', exact: true }).click(go);
    await page.waitForURL(/estimates$/); await check('list');
    await page.getByRole('button', { name: 'Make the estimate' }).click(go); await page.waitForURL(/\/estimates\/20/);
    const home = page.url().split('?')[0]; await check('made'); const before = await top('to pay');
    await page.locator('.lines a').first().click(go); await page.waitForURL(/line=/); await check('line');
    await page.getByLabel('How much').fill('none'); await page.getByRole('button', { name: 'Store the line' }).click(go);
    await page.locator('#problems').waitFor(); assert.equal(await page.getByLabel('How much').inputValue(), 'none'); await check('refused');
    await page.getByLabel('How much').fill('3'); await page.getByLabel('Price of one').fill('84');
    await page.getByRole('button', { name: 'Store the line' }).click(go); await page.waitForURL(/did=saved/);
    const three = await top('to pay'); assert.notEqual(three, before, 'the quantity moves the total');
    await page.goto(home); await page.getByRole('link', { name: 'Discount, days and note' }).click(go); await page.waitForURL(/head$/); await check('head');
    await page.getByLabel('Discount on everything, in percent').fill('10'); await page.getByRole('button', { name: 'Store the change' }).click(go);
    await page.waitForURL(/did=saved/); assert.notEqual(await top('to pay'), three); await check('discounted'); await page.goto(home);
    await page.getByRole('button', { name: 'Undo the last change' }).click(go); await page.waitForURL(/did=undone/);
    assert.equal(await top('to pay'), three, 'undo brings the total back');
    await page.goto(home + '/history'); await check('history'); assert.match(await page.locator('.versions').innerText(), /Version 4[^]*Version 1/);
    await page.goto(home + '/item'); await check('item'); await page.goto(home + '/prices'); await check('prices');
    const pdf = await page.context().request.get(home + '/estimate.pdf'); assert.equal(pdf.status(), 200); assert.match((await pdf.body()).subarray(0, 5).toString(), /%PDF-/);
    console.log('ok', kind, js ? 'script' : 'no script', before, three);
  });
  if (found.length) console.log(kind, found.slice(0, 8));
}
await close();
