// What is due, reminders by mail and calendars: a real mail server gets the mail, and another program's reader reads the calendar.
import assert from 'node:assert/strict';
import { test } from './lib/tap.js';
import { as, faults, shoot } from './lib/browser.js';
import { server } from './lib/shared.js';
import { serve } from './lib/server.js';
import { readCalendar, startSink } from './lib/sink.js';
import { answer, button, goTo, leave, newCar, startRound, turnsUp } from './lib/walk.js';

// whole waits until every car of the list is worked out.
async function whole(page) {
  for (let i = 0; i < 60; i++) {
    await page.goto('/due?week=now&kind=finding');
    if (!(await page.locator('#working[data-poll]').count())) return;
    await page.waitForTimeout(500);
  }
  throw new Error('the due list was not worked out within half a minute');
}

for (const kind of ['phone', 'desk']) {
  test(`due: the pages are accessible, ${kind}`, async (trace) => {
    const found = [];
    await as(kind, await server('demo'), { trace }, async (page) => {
      const see = async (name) => { await shoot(page, `due-${name}`); for (const line of await faults(page)) found.push(`${name}: ${line}`); };
      await whole(page);
      assert.ok(await page.locator('.dues > li').count() > 0, 'the demo has findings that nobody answered');
      await see('list');
      const line = page.locator('.dues > li').first();
      await line.locator('summary').click();
      await line.getByLabel('Why it may go off the list').fill('done elsewhere');
      await leave(page, line.getByRole('button', { name: 'Take it off' }));
      await see('settled');
      await leave(page, button(page, 'Undo'));
      await page.getByText('Back on the list').waitFor();
      await page.goto('/reminders');
      await page.getByText('Nothing is ever sent from the demo').waitFor();
      await see('reminders');
      await page.goto('/');
      await leave(page, page.locator('ul.rows a[href^="/cars/"]').first());
      await leave(page, page.getByRole('link', { name: 'Reminders' }));
      await see('car');
      await page.goto('/stop/nothing');
      await see('stop-gone');
    });
    assert.deepEqual(found, []);
  });
}

test('due: the owner who agreed gets one mail, the calendar can be read, and one click stops it', async (trace) => {
  const sink = await startSink();
  const s = await serve('--public-url', 'https://check.example', ...sink.flags);
  try {
    await as('desk', s, { trace }, async (page) => {
      const car = await newCar(page, { plate: 'HV-3T 660', description: 'Saloon 2.0 petrol, dark green', first: '2009-04', odometer: '113 000', by: 'MK' });
      await page.goto(`${car}/edit`);
      await page.getByLabel(/mail/i).fill('alma@brook.example');
      await leave(page, button(page, /^Store/));
      const round = await startRound(page, { km: '113 000', by: 'MK' });
      await goTo(page, round, 'Brake fluid, look');
      await answer(page, { say: /opaque/i });
      await page.goto(`${car}/reminders`);
      assert.equal(sink.mails.length, 0, 'nothing before the owner agreed');
      await page.getByLabel('How the owner agreed').fill('said so at the counter');
      await leave(page, button(page, 'The owner agreed'));
      const [mail] = await sink.arrived(1);
      assert.deepEqual(mail.to, ['alma@brook.example']);
      assert.match(mail.text, /Brake fluid/);
      assert.equal(mail.header('List-Unsubscribe-Post'), 'List-Unsubscribe=One-Click');
      const stop = new URL(/<(https:[^>]+)>/.exec(mail.header('List-Unsubscribe'))[1]);
      await turnsUp(page, '/reminders', (p) => p.locator('.outbox .state').getByText('Sent'));
      await shoot(page, 'due-sent');
      assert.deepEqual(await faults(page), []);

      await page.goto(`${car}/reminders`);
      await page.getByLabel('Who gets it').fill("Alma's phone");
      await leave(page, button(page, 'Make a calendar'));
      const address = new URL(await page.getByLabel('Address of the calendar').inputValue());
      const answered = await fetch(s.url + address.pathname);
      assert.match(answered.headers.get('content-type'), /^text\/calendar/);
      const calendar = readCalendar(await answered.text());
      assert.equal(calendar.method, 'PUBLISH');
      assert.ok(calendar.events.some((e) => /Brake fluid/.test(e.summary) && e.allDay), JSON.stringify(calendar));
      assert.equal(new Set(calendar.events.map((e) => e.uid)).size, calendar.events.length);
      const again = await fetch(s.url + address.pathname, { headers: { 'If-None-Match': answered.headers.get('etag') } });
      assert.equal(again.status, 304);

      await page.goto(stop.pathname);
      await shoot(page, 'due-stop');
      assert.deepEqual(await faults(page), []);
      const posted = await fetch(s.url + stop.pathname, { method: 'POST', body: 'List-Unsubscribe=One-Click', headers: { 'content-type': 'application/x-www-form-urlencoded' }, redirect: 'manual' });
      assert.equal(posted.status, 200);
      await page.goto(`${car}/reminders`);
      await page.getByText('The owner gets no reminders').waitFor();
      assert.equal(sink.mails.length, 1);
    });
  } finally {
    await s.stop();
    await sink.stop();
  }
});
