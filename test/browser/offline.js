// A dead connection: what was typed is kept on the device and sent when the server can be reached again.
import assert from 'node:assert/strict';
import { test } from './lib/tap.js';
import { as, shoot } from './lib/browser.js';
import { server } from './lib/shared.js';
import { button, done, goTo, leave, newCar, press, startRound } from './lib/walk.js';

const s = () => server('bad');

test('offline: numbers typed without a connection are kept, and sent later', async (trace) => {
  await as('phone', await s(), { trace }, async (page, who) => {
    await newCar(page, { plate: 'LT-8F 092', description: 'Hatchback 1.4 petrol', odometer: '70 000', by: 'AW' });
    const round = await startRound(page, { km: '70 000', by: 'AW' });
    await goTo(page, round, 'Tyre tread depth');
    const fields = page.locator('#f-answers').getByRole('textbox');
    await fields.first().fill('4.4');
    await fields.nth(1).fill('4.6');
    await who.context.setOffline(true);
    await press(page.locator('#f-answers').getByRole('button', { name: 'Save', exact: true }));
    const note = page.getByRole('alert').filter({ hasText: 'Not saved yet' });
    await note.waitFor();
    await shoot(page, 'offline');
    assert.equal(await fields.first().inputValue(), '4.4');

    await who.context.setOffline(false);
    await page.reload();
    await note.waitFor();
    assert.equal(await fields.first().inputValue(), '4.4', 'after a reload it is still there');
    await leave(page, button(page, 'Send again'));
    assert.equal(await page.locator('#problems').count(), 0);
    await goTo(page, round, 'Tyre tread depth');
    assert.match(await fields.first().inputValue(), /^4\.4/);
    assert.equal(await note.count(), 0, 'nothing is left to send');
  });
});

test('offline: a tapped answer is kept and sent again, once', async (trace) => {
  await as('phone', await s(), { trace }, async (page, who) => {
    await newCar(page, { plate: 'LT-8F 093', description: 'Hatchback 1.4 petrol', odometer: '71 000', by: 'AW' });
    const round = await startRound(page, { km: '71 000', by: 'AW' });
    await goTo(page, round, 'Battery terminals');
    await who.context.setOffline(true);
    await press(page.locator('#f-answers button.answer').nth(1));
    await page.getByRole('alert').filter({ hasText: 'Not saved yet' }).waitFor();
    await who.context.setOffline(false);
    await leave(page, button(page, 'Send again'));
    assert.equal(await done(page, round), 1);
  });
});
