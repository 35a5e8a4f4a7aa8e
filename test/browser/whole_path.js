// The whole path: a new car, the round on a phone by tapping, gone on with on another machine by keyboard, findings,
// the owner's link in a third browser that knows nothing, the PDF read back, the printed sheet.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { test } from './lib/tap.js';
import { as, shoot } from './lib/browser.js';
import { server } from './lib/shared.js';
import { png } from './lib/picture.js';
import { answer, button, done, goTo, heading, leave, link, newCar, press, problemWords, saved, shape, skip, startRound, unfold } from './lib/walk.js';

const plate = 'QX-7M 204';
let car, round, shared;
const s = () => server('path');

test('path: a new car, entered on a phone', async (trace) => {
  await as('phone', await s(), { trace }, async (page) => {
    await page.goto('/');
    await shoot(page, 'home-empty');
    await leave(page, link(page, 'Add the first car'));
    car = await newCar(page, { plate, description: 'Estate 1.8 petrol, grey', first: '2012-05', odometer: '182 400', by: 'IF' });
    assert.match(await page.locator('h1').innerText(), /QX-7M 204/);
    await shoot(page, 'car-empty');
  });
});

test('path: a full round is started with the thumb', async (trace) => {
  await as('phone', await s(), { trace }, async (page) => {
    await page.goto(car);
    round = await startRound(page, { km: '182 460', by: 'IF', sure: /read on the same day/ });
    await shoot(page, 'round-list');
    assert.equal(await done(page, round), 0);
  });
}, { after: 'path: a new car, entered on a phone' });

test('path: every kind of point is answered by tapping', async (trace) => {
  await as('phone', await s(), { trace }, async (page) => {
    const seen = new Set();
    const at = async (name, how) => {
      await goTo(page, round, name);
      const kind = await shape(page);
      if (!seen.has(kind)) await shoot(page, `point-${kind}`);
      seen.add(await answer(page, how));
    };
    await at('Brake fluid, look', { say: /opaque/i });
    await at('Brake fluid, level', { say: /below/i });
    await at('Engine oil, level', {});
    await at('Tyre tread depth', { values: ['5.5', '5.6', '5.4', '1.2', '3.0', '5.2'] });
    await at('Tyre date code', { values: ['1217'] });
    await at('Tyre damage', {});
    await at('Battery, voltage at rest', { values: ['12.6', '11'] });
    await at('Tyre pressure', { values: ['2.3'] });
    await at('Bumpers', {});
    assert.deepEqual([...seen].sort().filter((k) => k !== 'choose'), ['buttons', 'grid', 'numbers', 'rows']);
  });
}, { after: 'path: a full round is started with the thumb' });

test('path: the walk goes on by itself from point to point', async (trace) => {
  await as('phone', await s(), { trace }, async (page) => {
    const before = await done(page, round);
    await leave(page, page.locator('a.go'));
    for (let i = 0; i < 20; i++) {
      const kind = await shape(page), here = page.url().split('?')[0];
      if (kind === 'buttons' || kind === 'rows') await answer(page);
      else await skip(page, /no time today/i);
      assert.notEqual(page.url().split('?')[0], here, 'an answer leads on to the next open point');
    }
    assert.equal(await done(page, round), before + 20);
  });
}, { after: 'path: every kind of point is answered by tapping' });

test('path: can\'t see it, undo, correction and a photo', async (trace) => {
  await as('phone', await s(), { trace }, async (page) => {
    await goTo(page, round, 'Coolant hoses');
    await skip(page, /can['’]t see it/i);
    assert.match(await saved(page).innerText(), /not looked at/i);

    const before = await done(page, round);
    await goTo(page, round, 'Battery terminals');
    await answer(page);
    await leave(page, button(page, /^Undo/));
    assert.match(page.url(), /battery-terminals/, 'undo leads back to the point');
    assert.equal(await page.locator('#f-answers [aria-current=true]').count(), 0, 'after undo nothing is chosen');
    assert.equal(await done(page, round), before, 'undo takes the answer back');

    await goTo(page, round, 'Engine oil, look');
    await answer(page);
    await goTo(page, round, 'Engine oil, look');
    const chosen = page.locator('#f-answers button.answer').nth(1);
    const words = (await chosen.locator('span').first().innerText()).split('\n')[0];
    await leave(page, chosen);
    await page.goto(`${round}/check`);
    const row = page.locator('.answers > div', { has: page.locator('dt', { hasText: /^Engine oil, look$/ }) });
    assert.ok((await row.innerText()).includes(words), 'the corrected answer stands');
    assert.match(await row.innerText(), /first entered/i, 'the first entry is kept');

    await goTo(page, round, 'Tyre tread depth');
    await unfold(page, /^Photo/);
    await leave(page, () => page.getByLabel(/Take or choose a picture/).setInputFiles({ name: 'tread.png', mimeType: 'image/png', buffer: png(640, 480) }));
    await goTo(page, round, 'Tyre tread depth');
    const picture = page.locator('form.photo img');
    await picture.scrollIntoViewIfNeeded();
    await page.waitForFunction(() => document.querySelector('form.photo img')?.naturalWidth > 0);
    await shoot(page, 'point-with-photo');
  });
}, { after: 'path: the walk goes on by itself from point to point' });

test('path: resumed on another machine, by keyboard alone', async (trace) => {
  await as('desk', await s(), { trace }, async (page) => {
    const before = await done(page, round);
    assert.ok(before >= 25, `${before} points are done before the change of machine`);
    await shoot(page, 'round-list');
    await goTo(page, round, 'Drive belts').catch(() => goTo(page, round, 'Wiper blades'));
    if (await page.getByLabel('Who is looking? Your initials').count()) await page.getByLabel('Who is looking? Your initials').fill('RB');
    await page.locator('h1').click();
    await page.locator('body').press('n');
    await page.waitForLoadState('load');
    let pressed = 0;
    for (let i = 0; i < 12 && pressed < 4; i++) {
      const here = page.url();
      if (await shape(page) === 'buttons') {
        await page.evaluate(() => document.activeElement?.blur());
        await leave(page, () => page.keyboard.press('1'));
        pressed++;
      } else {
        await page.evaluate(() => document.activeElement?.blur());
        await leave(page, () => page.keyboard.press('n'));
      }
      await page.waitForLoadState('load');
    }
    assert.equal(pressed, 4, 'four answers were given with the key 1');
    await shoot(page, 'point-buttons');
    assert.ok(await done(page, round) > before);
  });
}, { after: "path: can't see it, undo, correction and a photo" });

test('path: the sheet is printed for the pen', async (trace) => {
  await as('desk', await s(), { trace }, async (page) => {
    await page.goto(`${round}/sheet`);
    assert.ok(await page.getByText('Tyre tread depth').count() > 0);
    await page.emulateMedia({ media: 'print' });
    await shoot(page, 'sheet-print');
    await page.emulateMedia({ media: null });
    const text = await pdfText(page, link(page, /PDF/));
    for (const words of [plate, 'Tyre tread depth', 'Battery terminals']) assert.ok(text.includes(words), `the printed sheet lacks “${words}”`);
  });
}, { after: 'path: a full round is started with the thumb' });

test('path: answers are checked and the round is finished', async (trace) => {
  await as('phone', await s(), { trace }, async (page) => {
    await page.goto(`${round}/check`);
    await shoot(page, 'check');
    assert.match(await page.locator('.answers').first().innerText(), /.+/);
    await leave(page, button(page, /^Finish the round/));
    assert.match(page.url(), /\/findings$/, await problemWords(page));
  });
}, { after: 'path: resumed on another machine, by keyboard alone' });

test('path: findings stand worst first', async (trace) => {
  for (const kind of ['phone', 'desk']) {
    await as(kind, await s(), { trace }, async (page) => {
      await page.goto(`${round}/findings`);
      await shoot(page, 'findings');
      const order = ['unsafe', 'overdue', 'due', 'watch'];
      const ranks = (await page.locator('#main section').filter({ has: page.locator('#asks') }).locator('article h3').allInnerTexts())
        .map((h) => order.findIndex((v) => new RegExp(`: ${v}\\b`).test(h)));
      assert.ok(ranks.length >= 3, `${ranks.length} findings`);
      assert.ok(!ranks.includes(-1), 'each finding says its verdict');
      assert.deepEqual(ranks, [...ranks].sort((a, b) => a - b), 'worst first');
      assert.match(await page.locator('#main').innerText(), /Brake fluid/);
      assert.doesNotMatch(await page.locator('#main').innerText(), /\b(car|vehicle) is safe\b/i);
    });
  }
}, { after: 'path: answers are checked and the round is finished' });

test('path: the owner opens the link in a browser that knows nothing', async (trace) => {
  await as('desk', await s(), { trace }, async (page) => {
    await page.goto(`${round}/findings`);
    await leave(page, link(page, 'Make a link for the owner'));
    await leave(page, button(page, 'Make the link'));
    shared = await page.getByLabel('Link to the report').inputValue();
    assert.match(shared, /\/r\/[A-Za-z0-9_-]{20,}$/);
    await shoot(page, 'share');
  });
  for (const kind of ['phone', 'desk']) {
    await as(kind, await s(), { trace }, async (page, who) => {
      await page.goto(shared);
      await heading(page, 'What we found on your car').waitFor();
      assert.equal((await who.context.cookies()).length, 0, 'the owner gets no cookie');
      const text = await page.locator('#main').innerText();
      for (const words of [plate, 'Not looked at', 'If you wait']) assert.ok(text.toLowerCase().includes(words.toLowerCase()), `the report lacks “${words}”`);
      assert.match(text, /can['’]t see it/i, 'what was not looked at stands there with its reason');
      for (const img of await page.locator('.photos img').all()) await img.scrollIntoViewIfNeeded();
      await page.waitForFunction(() => [...document.querySelectorAll('.photos img')].every((i) => i.naturalWidth > 0));
      assert.ok(await page.locator('.photos img').count() > 0, 'the photo is shown');
      await shoot(page, 'report');
    });
  }
}, { after: 'path: findings stand worst first' });

test('path: the PDF says the same, read back as text', async (trace) => {
  await as('phone', await s(), { trace }, async (page) => {
    await page.goto(shared);
    const titles = (await page.locator('section.told h3').allInnerTexts()).map((t) => t.split(':')[0].trim());
    const text = await pdfText(page, link(page, 'Save as PDF'));
    for (const words of [plate, ...titles]) assert.ok(text.includes(words), `the PDF lacks “${words}”`);
    assert.match(text, /not looked at/i);
    assert.doesNotMatch(text, /�/, 'every letter can be read back');
  });
}, { after: 'path: the owner opens the link in a browser that knows nothing' });

test('path: a revoked link is gone, and the car keeps its history', async (trace) => {
  await as('desk', await s(), { trace }, async (page) => {
    await page.goto(`${round}/share`);
    await leave(page, button(page, /^Revoke/));
    const gone = await page.goto(shared);
    assert.equal(gone.status(), 410);
    await page.goto(car);
    await shoot(page, 'car');
    assert.match(await page.locator('#main').innerText(), /finished: findings and report/);
  });
  await as('phone', await s(), { trace }, async (page) => {
    await page.goto(car);
    await shoot(page, 'car');
    await page.goto('/');
    await page.getByLabel('Find a car').fill('QX7M');
    await leave(page, button(page, 'Find'));
    await leave(page, link(page, new RegExp(plate)));
    await press(page.locator('summary').first());
  });
}, { after: 'path: the PDF says the same, read back as text' });

// pdfText downloads what a link leads to and reads it back with another program than the one that wrote it.
async function pdfText(page, locator) {
  const href = await locator.getAttribute('href');
  const res = await page.context().request.get(new URL(href, page.url()).href);
  assert.equal(res.status(), 200);
  assert.match(res.headers()['content-type'], /application\/pdf/);
  return execFileSync('pdftotext', ['-layout', '-', '-'], { input: await res.body(), maxBuffer: 1 << 26 }).toString().replace(/\s+/g, ' ');
}
