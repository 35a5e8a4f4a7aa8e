// The same path with JavaScript switched off, shorter: every step must work by links and forms alone.
import assert from 'node:assert/strict';
import { test } from './lib/tap.js';
import { as } from './lib/browser.js';
import { server } from './lib/shared.js';
import { png } from './lib/picture.js';
import { button, link } from './lib/walk.js';

// Without scripts the browser may not report that an element rests, which a click waits for; these wait for the page.
const noRest = { force: true };

test('without script: new car, round, photo, findings, report', async (trace) => {
  await as('phone', await server('path'), { trace, javaScriptEnabled: false }, async (page) => {
    await page.goto('/cars/new');
    await page.getByLabel('Number plate').fill('ZR-2K 118');
    await page.getByLabel('The car in a few words').fill('Hatchback 1.2 petrol, white');
    await page.getByRole('textbox', { name: 'Odometer', exact: true }).fill('90 100');
    await button(page, 'Store the car').click(noRest);
    await page.waitForURL(/\/cars\/[0-9a-f-]{36}/);

    await page.getByRole('radio', { name: /^Quick/ }).check();
    const form = page.locator('form', { has: button(page, 'Start the round') });
    await form.getByLabel('Odometer').fill('90 100');
    await form.getByLabel('Your initials').fill('NS');
    await button(page, 'Start the round').click(noRest);
    await page.waitForURL(/\/rounds\/[0-9a-f-]{36}$/);
    const round = page.url();

    await page.goto(`${round}/points/brake-fluid-look`);
    await page.locator('#f-answers').getByRole('button', { name: /opaque/i }).click(noRest);
    await page.waitForURL(/saved=brake-fluid-look/);
    await button(page, 'Undo').click(noRest);
    await page.waitForURL(/points\/brake-fluid-look/);
    await page.locator('#f-answers').getByRole('button', { name: /opaque/i }).click(noRest);
    await page.waitForURL(/saved=brake-fluid-look/);

    await page.goto(`${round}/points/battery-rest-voltage`);
    await page.locator('#f-answers').getByRole('textbox').first().fill('a lot');
    await page.locator('#f-answers').getByRole('button', { name: 'Save', exact: true }).click(noRest);
    await page.locator('#problems').waitFor();
    assert.equal(await page.locator('#f-answers').getByRole('textbox').first().inputValue(), 'a lot', 'what was typed stays');

    await page.goto(`${round}/points/engine-oil-look`);
    await page.locator('summary', { hasText: /^Photo/ }).click(noRest);
    await page.getByLabel(/Take or choose a picture/).setInputFiles({ name: 'oil.png', mimeType: 'image/png', buffer: png(320, 240) });
    await button(page, 'Save the photo').click(noRest);
    await page.locator('form.photo img').waitFor();

    await page.locator('summary', { hasText: /or skip/ }).click(noRest);
    await page.getByRole('radio', { name: /can['’]t see it/i }).check();
    await button(page, 'Save: not looked at').click(noRest);
    await page.waitForURL(/saved=engine-oil-look/);

    await page.goto(`${round}/check`);
    await button(page, /^Finish the round/).click(noRest);
    await page.waitForURL(/\/findings$/);
    assert.match(await page.locator('#asks').locator('..').innerText(), /Brake fluid/);
    await link(page, 'Make a link for the owner').click(noRest);
    await button(page, 'Make the link').click(noRest);
    const href = await page.getByLabel('Link to the report').inputValue();
    await page.goto(href);
    await page.getByRole('heading', { name: 'What we found on your car' }).waitFor();
    await page.getByText(/can['’]t see it/i).first().waitFor();
  });
});
