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

/** Closes the work out: everything done, the new pads read. */
async function closeOut(page, km) {
  await page.goto(`${work}/close`);
  for (const item of await page.locator('.closeitem').all()) await press(item.locator('label.answer').first());
  await page.getByLabel('Odometer', { exact: true }).fill(km);
  for (const field of await page.getByLabel(/^Front .*, lining left$/).all()) await field.fill('11.5');
  await leave(page, button(page, 'Close out the work'));
  assert.match(page.url(), /\/done\?did=closed$/, await problemWords(page));
}

const agreed = 'closeback: new pads are agreed to by word of mouth, and a step is ticked';
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
    await leave(page, button(page, 'Store the answer'));
    await leave(page, link(page, 'The work that was agreed'));
    work = page.url();
    await leave(page, page.locator('.tick').first());
  });
});

test('closeback: a close-out is taken back with a reason, and the work is open again', async (trace) => {
  const found = [];
  await as('phone', await s(), { trace }, async (page) => {
    const look = see(found, page);
    await closeOut(page, '98 218');
    await page.goto(car);
    assert.match(await main(page), /odometer\s+98\s218\skm[^]*Read after work/);
    await page.goto(`${work}/done`);
    await leave(page, button(page, 'Take the close-out back'));
    await problems(page).filter({ hasText: 'Say why it is taken back' }).waitFor();
    await look('why');
    await page.getByLabel('Why', { exact: true }).fill('a wrong distance');
    await page.getByLabel('Your initials').fill('IF');
    await leave(page, button(page, 'Take the close-out back'));
    assert.match(await page.locator('.notice').innerText(), /The close-out is taken back/);
    assert.match(await main(page), /was taken back on [^]* by IF: a wrong distance/);
    assert.equal(await page.locator('.tick[aria-pressed=true]').count(), 1, 'what was ticked stays');
    await look('open');
    await page.goto(car);
    const after = await main(page);
    assert.match(after, /odometer\s+98\s200\skm/);
    assert.doesNotMatch(after, /Read after work|98\s218|estimate 20/);
    await page.goto('/bay');
    assert.match(await main(page), /In work\s+CB-2T 340/);
  });
  assert.deepEqual(found, []);
}, { after: agreed });

test('closeback: it is closed out anew; then nothing is asked again, and a single renewal is taken back', async (trace) => {
  const found = [];
  await as('phone', await s(), { trace }, async (page) => {
    const look = see(found, page);
    await page.goto(`${work}/close`);
    await page.getByLabel('Odometer', { exact: true }).fill('300');
    await leave(page, button(page, 'Close out the work'));
    await page.getByLabel('If the meter was changed').waitFor();
    await closeOut(page, '98 210');
    await page.goto(estimate);
    assert.match(await main(page), /The work on this estimate is closed out/);
    assert.equal(await link(page, 'Put it before the owner').count(), 0);
    await look('estimate');
    await leave(page, link(page, "The owner's answer"));
    assert.equal(await page.getByRole('button', { name: /^Make the link/ }).count(), 0);
    await page.goto(car);
    const form = await unfold(page, 'Enter a renewal');
    await form.getByLabel('Note').fill('the wrong car');
    await leave(page, form.getByRole('button', { name: 'Store the renewal' }));
    const row = page.locator('tr', { hasText: 'the wrong car' });
    assert.equal(await row.count(), 1);
    const back = await unfold(page, 'Take a renewal back');
    await back.getByLabel('Which one').selectOption({ label: await back.locator('option', { hasText: 'the wrong car' }).innerText() });
    await look('renewed');
    await leave(page, button(page, 'Take the renewal back'));
    assert.match(await page.locator('.notice').innerText(), /The renewal is taken back/);
    assert.equal(await row.count(), 0);
    assert.match(await main(page), /Pads, front axle/, 'the close-out keeps its own');
  });
  assert.deepEqual(found, []);
}, { after: 'closeback: a close-out is taken back with a reason, and the work is open again' });
