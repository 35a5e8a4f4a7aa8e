// Causes: from a finding to its panel, the next look added to the round with one press, its answer moves the panel; the owner's words; a
// cause confirmed and undone. With and without scripts.
import assert from 'node:assert/strict';
import { test } from './lib/tap.js';
import { as, faults, shoot } from './lib/browser.js';
import { server } from './lib/shared.js';
import { answer, button, goTo, leave, link, newCar, press, startRound, unfoldAll } from './lib/walk.js';

const s = () => server('causes');
const panel = (page) => page.locator('.panel', { has: page.locator('.asks', { hasText: 'Where does the coolant go?' }) });
const first = { after: 'causes: a finding raises a question' };
let round;

/** The chances of a panel by the cause's name, in percent. */
async function chances(page) {
  const out = {};
  for (const line of await panel(page).locator('.cause .line').all()) {
    const n = /(\d+)\s%/.exec(await line.locator('.n').textContent());
    out[(await line.locator('b').first().textContent()).trim()] = Number(n[1]);
  }
  return out;
}

test('causes: a finding raises a question', async (trace) => {
  await as('phone', await s(), { trace }, async (page) => {
    await newCar(page, { plate: 'KD-8R 431', description: 'Estate 2.0 petrol, silver', first: '2009-04', odometer: '171 200', by: 'IF' });
    round = await startRound(page, { km: '171 250', by: 'IF', sure: /read on the same day/ });
    await goTo(page, round, 'Coolant, level');
    await answer(page, { say: /below/i });
    await goTo(page, round, 'Coolant, traces of loss');
    await answer(page, { say: /old|dried|crust|stain/i });
    await page.goto(`${round}/findings`);
    const c = await chances(page);
    assert.ok(Object.keys(c).length > 3, JSON.stringify(c));
    assert.ok('Something else' in c, 'something else is named');
    assert.ok(Math.max(...Object.values(c)) < 97, 'nothing is certain from this');
    await shoot(page, 'causes-panel');
  });
});

// seeing keeps a picture and the faults of a page in a state.
const seeing = (page, found) => async (name) => { await shoot(page, name); for (const line of await faults(page)) found.push(`${name}: ${line}`); };
let name, own;

test('causes: the next look goes into the round with one press, and its answer moves the panel', async (trace) => {
  const found = [];
  await as('phone', await s(), { trace }, async (page) => {
    const see = seeing(page, found);
    await page.goto(`${round}/findings`);
    await see('causes-findings');
    const before = await chances(page);
    const add = panel(page).locator('.nextlook').first();
    name = await add.locator('b').first().innerText();
    assert.match(await add.innerText(), /costs (a|\d+) minute/, 'the look says what it costs');
    await leave(page, add.getByRole('button', { name: /^Add it to the round/ }));
    own = /\/looks\//.test(page.url());
    await see('causes-look');
    await page.goto(`${round}/findings`);
    assert.deepEqual(await chances(page), before, 'a look that was not made moves nothing');
    assert.match(await panel(page).locator('.nextlook').first().innerText(), /On the round/);
    await page.goto(round);
    await see('causes-round');
    await leave(page, page.locator('.looklist a', { hasText: name }));
    if (own) await leave(page, page.getByRole('button', { name: /^Yes/ }));
    else await answer(page);
    assert.match(page.url(), /\/findings/);
    assert.notDeepEqual(await chances(page), before, 'the answer moves the panel');
    await unfoldAll(page);
    await see('causes-unfolded');
  });
  assert.deepEqual(found, []);
}, first);

test('causes: the answer is changed from the panel, and the panel follows', async (trace) => {
  const found = [];
  await as('desk', await s(), { trace }, async (page) => {
    const see = seeing(page, found);
    await page.goto(`${round}/findings`);
    await see('causes-findings');
    const before = await chances(page);
    await unfoldAll(page);
    await see('causes-unfolded');
    const moves = await panel(page).locator('.moves').first().innerText();
    assert.match(moves, /[+−]\d+(\.\d)? points, from .*\s% to .*\s%/, 'evidence says by how much it moved the cause');
    await leave(page, panel(page).locator('.known li', { hasText: name }).getByRole('link').first());
    await see('causes-look');
    if (own) await leave(page, page.getByRole('button', { name: /^No/ }));
    else await answer(page, { say: /./ });
    assert.notDeepEqual(await chances(page), before);
    await page.goto(round);
    assert.match(await page.locator('.looklist').innerText(), own ? /not there/ : /answered/);
  });
  assert.deepEqual(found, []);
}, { after: 'causes: the next look goes into the round with one press, and its answer moves the panel' });

test('causes: a cause is confirmed, seen among what was learned, and undone', async (trace) => {
  const found = [];
  await as('phone', await s(), { trace }, async (page) => {
    const see = seeing(page, found);
    await page.goto(`${round}/findings`);
    await leave(page, panel(page).getByRole('link', { name: /confirm the cause$/ }));
    await press(page.locator('label.answer', { hasText: 'Coolant hose' }).first());
    await page.getByLabel('In a few words').fill('Lower hose, split at the clamp');
    await leave(page, button(page, 'Confirm this cause'));
    assert.match(await panel(page).locator('.confirmed').innerText(), /It was: Coolant hose.*split at the clamp/s);
    await see('causes-confirmed');
    await leave(page, link(page, 'what was learned about causes'));
    assert.match(await page.locator('table.moved').first().innerText(), /in 1 of 1 car/);
    await see('causes-learned');
    await leave(page, page.getByRole('button', { name: /^Undo/ }).first());
    assert.match(await page.locator('#main').innerText(), /Nothing was confirmed yet/);
    await see('causes-none-learned');
    await page.goto(`${round}/findings`);
    assert.equal(await panel(page).locator('.confirmed').count(), 0);
  });
  assert.deepEqual(found, []);
}, first);

test('causes: the owner\'s words are matched, ticked and taken back, without scripts', async (trace) => {
  await as('phone', await s(), { trace, javaScriptEnabled: false }, async (page) => {
    const go = { force: true };
    await page.goto(`${round}/findings`);
    await link(page, 'Enter what the owner says').click(go);
    await button(page, 'See what it may mean').click(go);
    await page.locator('#problems').waitFor();
    await page.getByLabel('In the owner\'s own words').fill('It makes white smoke and I have to top up the water');
    await button(page, 'See what it may mean').click(go);
    await page.getByRole('checkbox', { name: /top up the water/ }).waitFor();
    await shoot(page, 'causes-told');
    assert.equal(await page.locator('input[name=sign]:checked').count(), 0, 'nothing is ticked before the adviser says so');
    await page.getByRole('checkbox', { name: /top up the water/ }).check(go);
    await button(page, 'Store what the owner says').click(go);
    await page.waitForURL(/did=told/);
    assert.match(await page.locator('.why').innerText(), /white smoke and I have to top up/);
    await page.goto(`${round}/findings`);
    await page.locator('.why').getByRole('button', { name: /^Take back/ }).first().click(go);
    await page.waitForURL(/did=untold/);
    assert.doesNotMatch(await page.locator('.why').innerText(), /white smoke and I have to top up/);
  });
}, first);

test('causes: the pages of words and of the cause are accessible', async (trace) => {
  const found = [];
  for (const kind of ['phone', 'desk']) {
    await as(kind, await s(), { trace }, async (page) => {
      const see = async (name) => { await shoot(page, name); for (const line of await faults(page)) found.push(`${name}, ${kind}: ${line}`); };
      await page.goto(`${round}/told`);
      await see('causes-told-empty');
      await page.getByLabel('In the owner\'s own words').fill('It needs water all the time');
      await leave(page, button(page, 'See what it may mean'));
      await unfoldAll(page);
      await see('causes-told-matched');
      await page.goto(`${round}/causes/coolant-loss`);
      await see('causes-confirm');
      await leave(page, button(page, 'Confirm this cause'));
      await page.locator('#problems').waitFor();
      await see('causes-confirm-errors');
    });
  }
  assert.deepEqual(found, []);
}, first);
