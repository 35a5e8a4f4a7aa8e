// The owner's yes: a link is made once, opened by whoever, answered on a phone with one line declined and one put off, checked with the
// exact total and signed; going back and signing again changes nothing; declining what is unsafe needs the warning ticked.
import assert from 'node:assert/strict';
import { test } from './lib/tap.js';
import { as, faults, shoot } from './lib/browser.js';
import { server } from './lib/shared.js';
import { answer, button, goTo, leave, link, newCar, press, problems, startRound } from './lib/walk.js';

const s = () => server('offer');
const first = { after: 'offer: an estimate is made and put before the owner, and its link is shown once' };
const day = (ahead) => new Date(Date.now() + ahead * 864e5).toISOString().slice(0, 10);
const block = (page, name) => page.locator('.ask', { has: page.getByRole('heading', { name }) });
const choose = (page, name, what) => press(block(page, name).locator('label.answer', { hasText: what }).first());
let estimate, owner;

/** Says how the workshop charges. */
async function terms(page) {
  await page.goto('/terms');
  await page.getByLabel('Currency').selectOption('EUR');
  await page.getByLabel('An hour of labour').fill('90');
  await page.locator('.taxline').first().getByLabel(/rate/i).fill('19');
  await page.getByLabel('Your initials').fill('IF');
  await leave(page, button(page, 'Save how we charge'));
  assert.equal(await problems(page).count(), 0);
}

/** Adds an item with one line to the estimate on the page. */
async function item(page, name, price) {
  await page.goto(estimate);
  await leave(page, link(page, 'Add an item'));
  await page.getByLabel('What is done').fill(name);
  await leave(page, button(page, 'Store the item'));
  await page.goto(estimate);
  await leave(page, link(page, `Add a line to ${name}`));
  await press(page.locator('label.answer', { hasText: /part/i }).first());
  await page.getByLabel('Name', { exact: true }).fill(`Part for ${name}`);
  await page.getByLabel('How much').fill('1');
  await page.getByLabel('Price of one').fill(price);
  await leave(page, button(page, 'Store the line'));
}

/** Gives every line on the page of an estimate a price that has none. */
async function prices(page, price) {
  for (;;) {
    await page.goto(estimate);
    const open = page.locator('.lines a', { has: page.locator('.tag', { hasText: 'price missing' }) });
    if (await open.count() === 0) return;
    await leave(page, open.first());
    await page.getByLabel('Price of one').fill(price);
    await leave(page, button(page, 'Store the line'));
    assert.equal(await problems(page).count(), 0);
  }
}

/** Makes a link and gives its address. */
async function makeLink(page) {
  await page.goto(`${estimate}/offer`);
  await page.getByLabel('Your initials').fill('IF');
  await leave(page, page.getByRole('button', { name: /^Make the link/ }));
  return page.getByLabel('Link to the estimate').inputValue();
}

test('offer: an estimate is made and put before the owner, and its link is shown once', async (trace) => {
  const found = [];
  await as('desk', await s(), { trace }, async (page) => {
    await terms(page);
    const car = await newCar(page, { plate: 'OF-3R 118', description: 'Estate 2.0 petrol, green', first: '2009-04', odometer: '171 200', by: 'IF' });
    const round = await startRound(page, { km: '171 250', by: 'IF', sure: /read on the same day/ });
    await goTo(page, round, 'Pad lining thickness');
    await answer(page, { values: ['0.4'] });
    await page.goto(`${car}/estimates`);
    await leave(page, button(page, 'Make the estimate'));
    estimate = page.url().split('?')[0];
    await item(page, 'Renew the wiper blades', '24.90');
    await item(page, 'Renew the cabin filter', '31.50');
    await prices(page, '50');
    await page.goto(`${estimate}/offer`);
    found.push(...await faults(page));
    owner = await makeLink(page);
    assert.match(owner, /\/y\/[a-z2-9]{26}$/);
    await shoot(page, 'offer-link');
    found.push(...await faults(page));
    await page.reload();
    assert.equal(await page.getByLabel('Link to the estimate').count(), 0, 'the link is shown once');
    assert.match(await page.locator('.standing').first().innerText(), /with the owner since/);
  });
  assert.deepEqual(found, []);
});

test('offer: on a phone one line is declined, one put off; the total is checked, and signed once', async (trace) => {
  const found = [];
  await as('phone', await s(), { trace }, async (page) => {
    const see = async (name) => { await shoot(page, name); for (const line of await faults(page)) found.push(`${name}: ${line}`); };
    await page.goto(owner);
    await see('offer-ask');
    const must = page.locator('.ask.must');
    assert.ok(await must.count() > 0, 'something must not be put off');
    assert.match(await must.first().innerText(), /Must not be put off/);
    assert.equal(await must.getByRole('radio', { name: /^Put off/ }).count(), 0);
    for (const m of await must.all()) await press(m.locator('label.answer', { hasText: 'Accept' }).first());
    await choose(page, 'Renew the wiper blades', 'Decline');
    await choose(page, 'Renew the cabin filter', 'Put off');
    await leave(page, button(page, 'See the total and check'));
    assert.match(await problems(page).innerText(), /say until which day/);
    await see('offer-bad');
    await block(page, 'Renew the cabin filter').getByLabel('Until which day').fill(day(90));
    await leave(page, button(page, 'See the total and check'));
    await see('offer-check');
    const pay = await page.locator('.topay td').innerText();
    await leave(page, button(page, 'Change my answers'));
    assert.equal(await block(page, 'Renew the cabin filter').getByLabel('Until which day').inputValue(), day(90), 'what was typed stays');
    await leave(page, button(page, 'See the total and check'));
    const check = page.url();
    await leave(page, page.getByRole('button', { name: /^Sign/ }));
    assert.match(await problems(page).innerText(), /Type your name/);
    await page.getByLabel('Your name').fill('Imogen Fellbridge');
    const second = await page.context().newPage();
    await second.goto(check);
    await leave(page, page.getByRole('button', { name: /^Sign/ }));
    assert.match(await page.locator('.notice').innerText(), /Your answers are stored/);
    assert.equal(await page.locator('.topay td').innerText(), pay, 'what was signed is what was shown');
    await see('offer-receipt');
    // The same form once more, from a page that was open before, with another name: the first answer stands.
    await second.getByLabel('Your name').fill('Somebody Else');
    await leave(second, second.getByRole('button', { name: /^Sign/ }));
    assert.match(await second.locator('.notice').innerText(), /changed nothing/);
    assert.match(await second.locator('.receipt').innerText(), /Imogen Fellbridge/);
    await page.goto(check);
    assert.match(await page.locator('h1').innerText(), /Your answers/, 'going back shows what was answered');
    assert.equal(await page.getByRole('button', { name: /^Sign/ }).count(), 0);
  });
  await as('desk', await s(), { trace }, async (page) => {
    await page.goto(`${estimate}/offer`);
    const text = await page.locator('#main').innerText();
    assert.match(text, /answered on/);
    assert.match(text, /Imogen Fellbridge/);
    assert.match(text, /[0-9a-f]{64}/);
    for (const line of await faults(page)) found.push(`answered: ${line}`);
  });
  assert.deepEqual(found, []);
}, first);

test('offer: without scripts, declining what is unsafe needs the warning ticked, and a newer link ends the older', async (trace) => {
  let newer;
  await as('desk', await s(), { trace }, async (page) => {
    const older = await makeLink(page);
    newer = await makeLink(page);
    await page.goto(older);
    assert.match(await page.locator('#main').innerText(), /newer version of this estimate was made/);
  });
  await as('phone', await s(), { trace, javaScriptEnabled: false }, async (page) => {
    await page.goto(newer);
    for (const m of await page.locator('.ask').all()) await press(m.locator('label.answer', { hasText: 'Decline' }).first());
    await leave(page, button(page, 'See the total and check'));
    assert.match(await problems(page).innerText(), /Read the warning and tick it/);
    const warned = page.getByRole('checkbox', { name: /I have read this warning/ });
    for (const w of await warned.all()) await w.check();
    await leave(page, button(page, 'See the total and check'));
    assert.match(await page.locator('#main').innerText(), /Warning, read and ticked/);
    await page.getByLabel('Your name').fill('Imogen Fellbridge');
    await leave(page, () => page.keyboard.press('Enter')); // the key for signing is the first button
    assert.match(await page.locator('.notice').innerText(), /Your answers are stored/);
    assert.match(await page.locator('#main').innerText(), /Warning, read and ticked/);
  });
}, first);

test('offer: a spoken answer takes the place of the one before', async (trace) => {
  const found = [];
  await as('phone', await s(), { trace }, async (page) => {
    await page.goto(`${estimate}/offer`);
    await leave(page, link(page, 'Write down a spoken answer'));
    for (const line of await faults(page)) found.push(line);
    for (const m of await page.locator('.ask').all()) await press(m.locator('label.answer', { hasText: 'Accept' }).first());
    await leave(page, button(page, 'Work out the total'));
    assert.match(await page.locator('#total').innerText(), /To pay/);
    await page.getByLabel('Your initials').fill('IF');
    await leave(page, button(page, 'Store the answer'));
    assert.match(await page.locator('.notice').innerText(), /spoken answer is stored/);
    assert.match(await page.locator('.receipt').first().innerText(), /Answered by\s+Imogen Fellbridge/);
    await shoot(page, 'offer-spoken');
  });
  assert.deepEqual(found, []);
}, { after: 'offer: without scripts, declining what is unsafe needs the warning ticked, and a newer link ends the older' });
