// Accessibility of every page in every state: axe with the rules of WCAG 2.2 A and AA, at phone and desktop size.
import assert from 'node:assert/strict';
import { test } from './lib/tap.js';
import { as, faults, shoot } from './lib/browser.js';
import { server } from './lib/shared.js';
import { png } from './lib/picture.js';
import { answer, button, goTo, leave, link, newCar, skip, startRound, unfold, unfoldAll } from './lib/walk.js';

const s = () => server('states');
let car, round, gone;

// check runs axe and keeps a picture; faults are collected so that one bad page does not hide the next.
const check = (page, found) => async (name) => {
  await shoot(page, `state-${name}`);
  for (const line of await faults(page)) found.push(`${name}: ${line}`);
};

// onEach runs the same steps on both sizes of screen.
function onEach(name, steps, options) {
  for (const kind of ['phone', 'desk']) {
    test(`accessible: ${name}, ${kind}`, async (trace) => {
      const found = [];
      await as(kind, await s(), { trace }, (page) => steps(page, check(page, found), kind));
      assert.deepEqual(found, []);
    }, options);
  }
}

onEach('empty workshop', async (page, see) => {
  if (!car) { await page.goto('/'); await see('home-empty'); }
  await page.goto('/cars/new');
  await see('car-new');
  await unfoldAll(page);
  await see('car-new-unfolded');
  await page.getByLabel('VIN').fill('1M8GDM9AXKP04278');
  await page.getByLabel('First registered').fill('last spring');
  await page.getByRole('textbox', { name: 'Odometer', exact: true }).fill('a lot');
  await leave(page, button(page, 'Store the car'));
  await page.locator('#problems').waitFor();
  await see('car-new-errors');
  for (const path of ['/nowhere', '/cars/00000000-0000-7000-8000-000000000000', '/r/no-such-link']) {
    await page.goto(path);
    await see(`error${path.replaceAll('/', '-').slice(0, 12)}`);
  }
});

test('accessible: a car with a round to look at', async (trace) => {
  await as('desk', await s(), { trace }, async (page) => {
    car = await newCar(page, { plate: 'HV-3T 660', description: 'Saloon 2.0 petrol, dark green', first: '2009-04', odometer: '113 000', by: 'MK' });
    round = await startRound(page, { km: '113 000', by: 'MK' });
    await goTo(page, round, 'Brake fluid, look');
    await answer(page, { say: /opaque/i });
  });
});
const after = { after: 'accessible: a car with a round to look at' };

onEach('home and search', async (page, see) => {
  await page.goto('/');
  await see('home');
  await page.goto('/?q=HV-3T');
  await see('search-hit');
  await page.goto('/?q=no+such+car');
  await see('search-none');
}, after);

onEach('car page and its forms', async (page, see) => {
  await page.goto(car);
  await see('car-open-round');
  await unfoldAll(page);
  await see('car-unfolded');
  const start = page.locator('form', { has: button(page, 'Start the round') });
  await start.getByLabel('Odometer').fill('12');
  await start.getByLabel('Air temperature').fill('warm');
  await leave(page, button(page, 'Start the round'));
  await page.locator('#problems').waitFor();
  await see('car-round-errors');
  await page.goto(`${car}/edit`);
  await see('car-edit');
  await page.getByLabel('VIN').fill('I'.repeat(17));
  await leave(page, button(page, 'Store the changes'));
  await see('car-edit-errors');
}, after);

const kindsOfPoint = { buttons: 'Battery terminals', rows: 'Tyre damage', numbers: 'Battery, voltage at rest', code: 'Tyre date code', grid: 'Tyre tread depth', level: 'Brake fluid, level', pressure: 'Tyre pressure' };

onEach('each kind of point', async (page, see) => {
  await page.goto(round);
  await see('round-list');
  await unfoldAll(page);
  await see('round-list-unfolded');
  for (const [kind, name] of Object.entries(kindsOfPoint)) {
    await goTo(page, round, name);
    await see(`point-${kind}`);
    await unfoldAll(page);
    await see(`point-${kind}-unfolded`);
  }
}, after);

onEach('a point with errors, and nothing entered', async (page, see) => {
  await goTo(page, round, 'Tyre tread depth');
  const fields = page.locator('#f-answers').getByRole('textbox');
  await fields.first().fill('deep');
  await fields.nth(4).fill('99');
  await leave(page, button(page, 'Save').last());
  await page.locator('#problems').waitFor();
  assert.equal(await page.locator('#f-answers').getByRole('textbox').first().inputValue(), 'deep');
  await see('point-grid-errors');
  await goTo(page, round, 'Tyre date code');
  await page.locator('#f-answers').getByRole('textbox').first().fill('9917');
  await leave(page, button(page, 'Save').last());
  await page.locator('#problems').waitFor();
  await see('point-code-errors');
  await goTo(page, round, 'Battery, voltage at rest');
  await leave(page, page.locator('#f-answers').getByRole('button', { name: 'Save', exact: true }));
  await page.locator('#problems').waitFor();
  await see('point-nothing-entered');
}, after);

onEach('saved, photographed and checked', async (page, see, kind) => {
  await goTo(page, round, kind === 'phone' ? 'Battery terminals' : 'Bumpers');
  await answer(page);
  await see('point-saved');
  await goTo(page, round, 'Engine oil, look');
  await skip(page, /can['’]t see it/i);
  await goTo(page, round, 'Brake fluid, look');
  await unfold(page, /^Photo/);
  await leave(page, () => page.getByLabel(/Take or choose a picture/).setInputFiles({ name: 'fluid.png', mimeType: 'image/png', buffer: png(300, 200) }));
  await goTo(page, round, 'Brake fluid, look');
  await see('point-photo');
  await page.goto(`${round}/check`);
  await see('check');
}, after);

onEach('typed-in sheet and sheet for the pen', async (page, see) => {
  await page.goto(`${round}/type`);
  await see('type');
  await page.locator('.typeslot input').first().fill('no such answer');
  await leave(page, page.locator('.savebar button'));
  await page.locator('#problems').waitFor();
  await see('type-errors');
  await page.goto(`${round}/sheet`);
  await see('sheet');
}, after);

test('accessible: the round is finished', async (trace) => {
  await as('desk', await s(), { trace }, async (page) => {
    await goTo(page, round, 'Tyre tread depth');
    await answer(page, { values: ['1.2', '3', '6'] });
    await goTo(page, round, 'Battery, voltage at rest');
    await answer(page, { values: ['12.1', '11'] });
    await page.goto(`${round}/check`);
    await leave(page, button(page, /^Finish the round/));
  });
}, after);

onEach('findings, link and the owner\'s report', async (page, see) => {
  await page.goto(`${round}/findings`);
  await see('findings');
  await page.goto(`${round}/report`);
  await see('report-preview');
  await page.goto(`${round}/share`);
  await see('share-form');
  await leave(page, button(page, 'Make the link'));
  await see('share-made');
  gone = await page.getByLabel('Link to the report').inputValue();
  await page.goto(gone);
  await see('report-owner');
  await page.goto(`${round}/share`);
  await leave(page, button(page, /^Revoke/).first());
  await see('share-revoked');
  assert.equal((await page.goto(gone)).status(), 410);
  await see('report-gone');
  await page.goto(round);
  await see('round-ended');
  await page.goto(car);
  await see('car-full');
}, { after: 'accessible: the round is finished' });

test('accessible: twice the text size on a phone', async (trace) => {
  const found = [];
  await as('phone', await s(), { trace }, async (page) => {
    for (const path of ['/', car, round, `${round}/points/tyre-tread`, `${round}/findings`, `${round}/report`]) {
      await page.goto(path);
      await page.evaluate(() => { document.documentElement.style.fontSize = '200%'; });
      for (const line of await faults(page)) found.push(`${path} at 200 %: ${line}`);
    }
  });
  assert.deepEqual(found, []);
}, { after: 'accessible: the round is finished' });
