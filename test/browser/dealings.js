// The whole path of one car's dealings, against the real program with an empty database and a real mail server: how the workshop charges, a
// round, its findings, the plan, the estimate, the owner's answer on a phone (one line declined, one put off), the work, the close-out, the
// next round with the new first readings, the due list, one mail, one calendar.
import assert from 'node:assert/strict';
import { test } from './lib/tap.js';
import { as, faults, shoot } from './lib/browser.js';
import { serve } from './lib/server.js';
import { server } from './lib/shared.js';
import { readCalendar, startSink } from './lib/sink.js';
import { answer, button, goTo, leave, link, newCar, press, problemWords, problems, startRound, turnsUp, unfold } from './lib/walk.js';

const s = () => server('dealings', async () => {
  const sink = await startSink();
  const one = await serve('--public-url', 'https://check.example', ...sink.flags);
  return { ...one, sink, stop: async () => { await one.stop(); await sink.stop(); } };
});
const names = { pads: 'Renew the brake pads of the axle, front axle', coolant: 'Renew the coolant', air: 'Renew the air filter', cabin: 'Renew the cabin filter' };
const ahead = (days) => new Date(Date.now() + days * 864e5);
const today = () => ahead(0).toISOString().slice(0, 10);
const until = ahead(16).toISOString().slice(0, 10);
const inWords = (date) => new RegExp(`${date.getUTCDate()} ${date.toLocaleString('en-US', { month: 'short', timeZone: 'UTC' })}[a-z]* ${date.getUTCFullYear()}`);
const main = (page) => page.locator('#main').innerText();
const see = (found, page) => async (name) => {
  await shoot(page, `dealings-${name}`);
  for (const line of await faults(page)) found.push(`${name}: ${line}`);
};
let car, round, estimate, owner, work, signed, closed;

/** Presses a key that sends a form, and gives what the browser sent, so that it can be sent once more. */
async function sent(page, what) {
  const [request] = await Promise.all([page.waitForRequest((r) => r.method() === 'POST'), leave(page, what)]);
  return { path: new URL(request.url()).pathname, body: request.postData() };
}

/** Sends a form once more, as a browser that was closed in between or a second press would. */
async function replay({ path, body }) {
  const one = await s();
  return fetch(one.url + path, { method: 'POST', body, redirect: 'manual', headers: { 'content-type': 'application/x-www-form-urlencoded', origin: one.url } });
}

/** The calendar whose address the page shows, read by an independent reader. */
async function calendar(page) {
  const address = new URL(await page.getByLabel('Address of the calendar').inputValue());
  const got = await fetch((await s()).url + address.pathname);
  assert.equal(got.status, 200);
  return readCalendar(await got.text());
}

const charges = 'dealings: how the workshop charges, and what parts cost';
test(charges, async (trace) => {
  await as('desk', await s(), { trace }, async (page) => {
    await page.goto('/terms');
    await page.getByLabel('Currency').selectOption('EUR');
    await page.getByLabel('An hour of labour').fill('90');
    await page.locator('.taxline').first().getByLabel(/rate/i).fill('20');
    await page.getByLabel('Your initials').fill('IF');
    await leave(page, button(page, 'Save how we charge'));
    assert.equal(await problems(page).count(), 0, await problemWords(page));
    await page.goto('/prices');
    const list = ['number;name;part;unit;price;tax;for', 'PS-1;Front pads;pad-set;set;45,90;;', 'PC-1;Clips;pad-clips;set;12,00;;', 'AF-1;Air filter;air-filter;piece;18,50;;', 'CF-1;Cabin filter;cabin-filter;piece;22,40;;'];
    await page.getByLabel('File with prices').setInputFiles({ name: 'list.csv', mimeType: 'text/csv', buffer: Buffer.from(list.join('\r\n')) });
    await leave(page, button(page, 'See what it changes'));
    assert.match(await main(page), /From list\.csv: 4 prices/);
    await leave(page, button(page, 'Store this list'));
    assert.match(await main(page), /Front pads[^]*45\.90/);
  });
});

const found = 'dealings: a round asks for four jobs, and the plan says why they are done at one visit';
test(found, async (trace) => {
  await as('desk', await s(), { trace }, async (page) => {
    car = await newCar(page, { plate: 'DL-5K 902', description: 'Estate 1.6 petrol, grey', first: '2014-03', odometer: '121 400', by: 'IF' });
    await page.goto(`${car}/edit`);
    await page.getByLabel(/mail/i).fill('imogen@fellbridge.example');
    await leave(page, button(page, /^Store/));
    round = await startRound(page, { km: '121 400', by: 'IF' });
    await goTo(page, round, 'Pad lining thickness');
    await answer(page, { values: ['1.5', '1.5', '2', '1.5', '7', '7', '7', '7'] });
    for (const [name, say] of [['Coolant, look', /cloudy/i], ['Engine air filter', /loaded/i], ['Cabin filter', /loaded/i]]) {
      await goTo(page, round, name);
      await answer(page, { say });
    }
    await page.goto(`${round}/check`);
    await leave(page, button(page, /^Finish the round/));
    await leave(page, link(page, 'Plan the work'));
    await shoot(page, 'dealings-plan');
    assert.match(await main(page), /4 jobs at 1 visit within two years/);
    const why = (name) => page.locator('.planwant', { has: page.getByRole('heading', { name }) }).innerText();
    assert.match(await why(names.pads), /overdue[^]*1\.5 mm[^]*Why here\s+It must be done by \d+ \w+ 20\d\d/);
    assert.match(await why(names.coolant), /The coolant is cloudy[^]*shares on the lift, saves 8 minutes/);
    await leave(page, page.getByRole('button', { name: /^Make the estimate/ }).first());
    estimate = page.url().split('?')[0];
    assert.match(await main(page), /2 prices are missing/);
    assert.equal(await link(page, 'Put it before the owner').count(), 0, 'nothing goes out while a price is missing');
    for (const [name, much, price] of [['Drain plug ring', '', '1.80'], ['Coolant concentrate', '3', '6.40']]) {
      await page.goto(estimate);
      await leave(page, page.locator('.lines a', { hasText: name }));
      if (much) await page.getByLabel('How much').fill(much);
      await page.getByLabel('Price of one').fill(price);
      await leave(page, button(page, 'Store the line'));
      assert.equal(await problems(page).count(), 0, await problemWords(page));
    }
    await page.goto(estimate);
    // 398.59 from the catalogue's minutes at 90.00 and the list of parts, 1.80 and 3 x 6.40 typed; 20 % of 419.59 is 83.92.
    assert.match(await page.locator('[aria-labelledby=total]').innerText(), /419\.59[^]*83\.92[^]*To pay\s+503\.51/);
    await leave(page, link(page, 'Put it before the owner'));
    await page.getByLabel('Your initials').fill('IF');
    await leave(page, page.getByRole('button', { name: /^Make the link/ }));
    owner = new URL(await page.getByLabel('Link to the estimate').inputValue()).pathname;
    assert.match(owner, /^\/y\/[a-z2-9]{26}$/);
  });
}, { after: charges });

const scanned = 'dealings: a program that follows links changes nothing';
test(scanned, async (trace) => {
  const one = await s();
  for (const method of ['GET', 'HEAD']) {
    for (const path of [owner, `${owner}?step=sign&name=Scanner&answer1=accept`, `${owner}/estimate.pdf`]) {
      const got = await fetch(one.url + path, { method, headers: { 'user-agent': 'LinkScanner/1.0' } });
      assert.equal(got.status, 200, `${method} ${path}`);
    }
  }
  await as('desk', one, { trace }, async (page) => {
    await page.goto(`${estimate}/offer`);
    assert.match(await page.locator('.standing').first().innerText(), /with the owner since/);
    await page.goto('/bay');
    assert.match(await main(page), /Nothing is agreed/);
  });
}, { after: found });

const answered = 'dealings: the owner accepts two on a phone, declines one and puts one off; the same answer sent again changes nothing';
test(answered, async (trace) => {
  await as('phone', await s(), { trace }, async (page) => {
    await page.goto(owner);
    const ask = (name) => page.locator('.ask', { has: page.getByRole('heading', { name }) });
    const choose = (name, what) => press(ask(name).locator('label.answer', { hasText: what }).first());
    assert.match(await main(page), /All of it, with tax\s+503\.51\sEUR/);
    // What only one item needs is in its price: 119.37 and the wheels off at 20.97, and 20 % tax.
    assert.match(await ask(names.pads).locator('.price').innerText(), /^168\.4[01]\sEUR/);
    assert.match(await ask(names.coolant).locator('.price').innerText(), /^226\.7[234]\sEUR/);
    assert.match(await page.locator('[aria-labelledby=shared]').innerText(), /On the lift for [^]*14\.3[67]\sEUR\s*$/);
    await choose(names.pads, 'Accept');
    await choose(names.cabin, 'Accept');
    await choose(names.coolant, 'Decline');
    await choose(names.air, 'Put off');
    await ask(names.air).getByLabel('Until which day').fill(until);
    await shoot(page, 'dealings-ask');
    await leave(page, button(page, 'See the total and check'));
    const check = await main(page);
    assert.match(check, /Put off\s+Renew the air filter, until \d+ \w+ 20\d\d\s+Declined\s+Renew the coolant/);
    // 119.37 + 20.97 + 11.97 for the lift + 43.37; 20 % of 195.68 is 39.14.
    assert.match(check, /Without tax\s+195\.68\sEUR[^]*39\.14\sEUR[^]*To pay\s+234\.82\sEUR/);
    await shoot(page, 'dealings-check');
    await page.getByLabel('Your name').fill('Imogen Fellbridge');
    signed = await sent(page, button(page, /^Sign: yes to 234\.82/));
    assert.match(await page.locator('.notice').innerText(), /Your answers are stored/);
  });
  for (const form of [signed, { ...signed, body: signed.body.replace('Imogen', 'Somebody') }]) {
    const again = await replay(form);
    assert.ok(again.status < 400, `sent again: ${again.status}`);
  }
  await as('desk', await s(), { trace }, async (page) => {
    await page.goto(`${estimate}/offer`);
    assert.equal(await page.locator('.receipt').count(), 1, 'one answer is kept');
    assert.match(await page.locator('.receipt').innerText(), /Signed by\s+Imogen Fellbridge/);
    await leave(page, link(page, 'The work that was agreed'));
    work = page.url();
    await page.goto('/bay');
    assert.equal(await page.locator('ul.rows > li').count(), 1, 'one work sheet');
    await page.goto('/reminders');
    await page.getByLabel('Who gets it').fill('The office');
    await leave(page, button(page, 'Make a calendar'));
    const visits = (await calendar(page)).events.filter((e) => /Agreed visit/.test(e.summary));
    assert.deepEqual(visits.map((e) => [e.summary, e.on, e.allDay]), [[`DL-5K 902: Agreed visit: ${names.pads}; ${names.cabin}`, today(), true]]);
  });
}, { after: scanned });

const worked = 'dealings: the work sheet is ticked in the bay';
test(worked, async (trace) => {
  const wrong = [];
  await as('phone', await s(), { trace }, async (page) => {
    const look = see(wrong, page);
    await page.goto('/bay');
    await look('bay');
    await leave(page, page.locator('ul.rows a').first());
    assert.equal(page.url(), work);
    await look('work');
    const sheet = await main(page);
    assert.doesNotMatch(sheet, /coolant/i, 'what was declined is not on the sheet');
    assert.doesNotMatch(sheet, /Air filter/i, 'nor what was put off');
    assert.doesNotMatch(sheet, /front axle, front axle/);
    assert.match(sheet, /Preparation: Front wheels off[^]*Undo: Front wheels off/);
    const steps = await page.locator('.tick').count();
    assert.match(await page.locator('#progress').innerText(), new RegExp(`^0 of ${steps} steps ticked`));
    await leave(page, page.locator('.tick').first());
    await leave(page, page.locator('.tick[aria-pressed=true]').first());
    assert.equal(await page.locator('.tick[aria-pressed=true]').count(), 0, 'a tick is taken back');
    const own = page.locator('.worksteps form', { hasText: names.cabin }).locator('.tick');
    const many = await own.count();
    for (let i = 0; i < many; i++) await leave(page, own.nth(i));
    assert.match(await page.locator('#progress').innerText(), new RegExp(`^${many} of ${steps} steps ticked`));
    const part = await unfold(page, 'Fit Front pads');
    await part.getByLabel('Batch').fill('B-2207');
    await leave(page, part.getByRole('button', { name: 'Fitted' }));
    assert.match(await page.locator('.workparts').innerText(), /Fitted: 1\sset, number PS-1, batch B-2207/);
  });
  assert.deepEqual(wrong, []);
}, { after: answered });

const closing = 'dealings: the close-out keeps what is typed, is stored once, and comes to what was agreed';
test(closing, async (trace) => {
  const wrong = [];
  await as('desk', await s(), { trace }, async (page) => {
    const look = see(wrong, page);
    await page.goto(work);
    await leave(page, link(page, 'Close out the work'));
    const done = (name) => page.getByRole('group', { name }).getByRole('radio', { name: 'Done', exact: true });
    assert.ok(await done(names.cabin).isChecked(), 'what was ticked is filled in');
    assert.ok(!await done(names.pads).isChecked(), 'and what was not is left to say');
    await press(page.getByRole('group', { name: names.pads }).locator('label.answer').first());
    await page.getByLabel('Odometer').fill('far');
    for (const field of await page.getByLabel(/^Front .*, lining left$/).all()) await field.fill('11.5');
    assert.match(await page.locator('.closepoint', { hasText: 'Pad lining thickness' }).innerText(), /before: 1\.5 mm[^]*before: 2\.0 mm/);
    await page.getByLabel('Note').fill('Old pads shown to the owner');
    await leave(page, button(page, 'Close out the work'));
    await problems(page).waitFor();
    assert.equal(await page.getByLabel('Front left, inner, lining left').inputValue(), '11.5', 'what was typed is kept');
    await look('close');
    await page.getByLabel('Odometer').fill('121 402');
    await page.getByLabel('Your initials').fill('IF');
    closed = await sent(page, button(page, 'Close out the work'));
    assert.match(page.url(), /\/done\?did=closed$/, await problemWords(page));
    assert.match(await main(page), /Front pads, 1\sset[^]*batch B-2207\s+119\.37\sEUR[^]*43\.37\sEUR[^]*11\.97\sEUR[^]*20\.97\sEUR[^]*Without tax\s+195\.68\sEUR[^]*39\.14\sEUR[^]*To pay\s+234\.82\sEUR/);
    await look('done');
    const csv = await page.context().request.get(`${work}/summary.csv`);
    const rows = (await csv.text()).trim().split(/\r?\n/);
    assert.ok(rows.some((r) => /^fitted,.*,Front pads,PS-1,1,.*,B-2207,/.test(r)), 'the summary has what was fitted');
    assert.ok(rows.some((r) => /^to-pay,+234\.82,+$/.test(r)), 'and what is to pay');
    assert.doesNotMatch(rows.join('\n'), /coolant|AF-1/i);
  });
  const twice = await replay(closed);
  assert.deepEqual([twice.status, twice.headers.get('location')], [303, `${new URL(work).pathname}/done?did=closed`]);
  await as('phone', await s(), { trace }, async (page) => {
    await page.goto('/bay');
    assert.match(await main(page), /Closed out today\s+DL-5K 902[^]*2 of 2 items done/);
    await page.goto(`${work}/done`);
    await see(wrong, page)('done');
    await page.goto(car);
    const after = await main(page);
    assert.match(after, /odometer\s+121\s402\skm/);
    assert.match(after, /asks for something\s+2\b/);
    assert.equal(after.match(/Read after work/g).length, 1, 'the first readings are stored once');
    assert.equal(after.match(/Pads, front axle\s/g).length, 1, 'and so is the renewal');
  });
  assert.deepEqual(wrong, []);
}, { after: worked });

const anew = 'dealings: the next round shows the first readings of the new pads';
test(anew, async (trace) => {
  await as('desk', await s(), { trace }, async (page) => {
    await page.goto(car);
    const next = await startRound(page, { km: '121 410', by: 'IF' });
    await goTo(page, next, 'Pad lining thickness');
    await shoot(page, 'dealings-next');
    const place = (corner) => page.locator('.corner', { has: page.getByText(corner, { exact: true }) }).first().innerText();
    assert.match(await place('Front left'), /last 11\.5[^]*last 11\.5/);
    assert.match(await place('Front right'), /last 11\.5[^]*last 11\.5/);
    assert.match(await place('Rear left'), /last 7\.0/);
    assert.match(await main(page), /Renewed 8\skm ago/);
    await page.goto(`${car}/plan`);
    const plan = await main(page);
    assert.doesNotMatch(plan, /Renew the brake pads/, 'what was done is not planned again');
    assert.match(plan, /Renew the coolant due/, 'what was declined still asks');
    assert.match(plan, /Renew the air filter due · put off until/);
  });
}, { after: closing });

const remembered = 'dealings: the put-off line is on the due list, in one mail and in the calendar; one click stops the mails';
test(remembered, async (trace) => {
  const one = await s();
  await as('desk', one, { trace }, async (page) => {
    await page.goto('/due');
    await shoot(page, 'dealings-due');
    const line = page.locator('.dues > li', { hasText: names.air });
    assert.equal(await line.count(), 1);
    assert.match(await line.innerText(), inWords(ahead(16)));
    assert.match(await line.innerText(), /put off[^]*Put off by the owner on [^]*It was: Air filter: The intake face or the pre-filter is dirty/);
    assert.equal(await page.locator('.dues > li', { hasText: 'Agreed visit' }).count(), 0, 'the visit is over');
    assert.equal(one.sink.mails.length, 0, 'nothing before the owner agreed');
    await page.goto(`${car}/reminders`);
    await page.getByLabel('How the owner agreed').fill('said so at the counter');
    await leave(page, button(page, 'The owner agreed'));
    const [mail] = await one.sink.arrived(1);
    const told = mail.text.replace(/\s+/g, ' ');
    assert.deepEqual(mail.to, ['imogen@fellbridge.example']);
    assert.match(told, /Renew the air filter: you put this off until /);
    assert.match(told, inWords(ahead(16)));
    assert.equal(mail.text.match(/air filter: you put/gi).length, 1);
    assert.equal(mail.header('List-Unsubscribe-Post'), 'List-Unsubscribe=One-Click');
    await page.getByLabel('Who gets it').fill("Imogen's phone");
    await leave(page, button(page, 'Make a calendar'));
    const events = (await calendar(page)).events;
    assert.deepEqual(events.filter((e) => e.on === until).map((e) => [e.summary, e.allDay]), [[`DL-5K 902: ${names.air}`, true]]);
    assert.equal(new Set(events.map((e) => e.uid)).size, events.length);
    const stop = new URL(/<(https:[^>]+)>/.exec(mail.header('List-Unsubscribe'))[1]).pathname;
    const posted = await fetch(one.url + stop, { method: 'POST', body: 'List-Unsubscribe=One-Click', headers: { 'content-type': 'application/x-www-form-urlencoded' } });
    assert.equal(posted.status, 200);
    await page.goto(`${car}/reminders`);
    await page.getByText('The owner gets no reminders').waitFor();
    await turnsUp(page, '/reminders', (p) => p.locator('.outbox .state').getByText('Sent'));
    assert.equal(await page.locator('.outbox .state').count(), 1);
    assert.equal(one.sink.mails.length, 1, 'one mail, and no second');
  });
}, { after: anew });
