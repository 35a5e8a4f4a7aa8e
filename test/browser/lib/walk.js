// What a person does on the pages, by the words that stand on them.
import assert from 'node:assert/strict';

/**
 * Taps on a touch screen, clicks elsewhere. After typing, the browser sometimes draws no frames for a page without scripts, and the
 * wait for a still element never ends: then the press is given where the element stands.
 */
export async function press(locator) {
  const touch = await locator.page().evaluate(() => navigator.maxTouchPoints > 0).catch(() => false);
  const give = (options) => touch ? locator.tap(options) : locator.click(options);
  return give({ timeout: 4000 }).catch((err) => {
    if (!/Timeout/.test(err.message)) throw err;
    return give({ force: true });
  });
}

/** Presses, or does what a function does, and waits until another page, or the same one again, has loaded. */
export async function leave(page, what) {
  await Promise.all([
    page.waitForEvent('framenavigated', { predicate: (f) => f === page.mainFrame() }),
    typeof what === 'function' ? what() : press(what),
  ]);
  await page.waitForLoadState('load');
}

export const button = (page, name) => page.getByRole('button', { name, exact: typeof name === 'string' });
export const link = (page, name) => page.getByRole('link', { name, exact: typeof name === 'string' });
export const heading = (page, name) => page.getByRole('heading', { name });
export const problems = (page) => page.locator('#problems');

/** Opens a fold of the page unless it stands open. */
export async function unfold(page, words) {
  const fold = page.locator('details', { has: page.locator('summary', { hasText: words }) }).first();
  if (await fold.getAttribute('open') === null) await press(fold.locator('summary').first());
  return fold;
}

/** Opens every fold of the page. */
export const unfoldAll = (page) => page.evaluate(() => document.querySelectorAll('details').forEach((d) => { d.open = true; }));

const foldOf = (inside) => inside.locator('xpath=ancestor::details').last();

/** Enters a new car and returns the address of its page. `figures` are typed into the fields of that label. */
export async function newCar(page, { plate, description, vin = '', first = '', odometer = '', by = '', figures = {}, equipment = {} }) {
  await page.goto('/cars/new');
  await page.getByLabel('Number plate').fill(plate);
  await page.getByLabel('The car in a few words').fill(description);
  await page.getByLabel('VIN').fill(vin);
  await page.getByLabel('First registered').fill(first);
  await page.getByRole('textbox', { name: 'Owner', exact: true }).fill('Imogen Fellbridge');
  await page.getByRole('textbox', { name: 'Odometer', exact: true }).fill(odometer);
  for (const [label, option] of Object.entries(equipment)) await choose(page, label, option);
  for (const [spec, value] of Object.entries(figures)) await (await unfold(page, spec)).getByRole('textbox').first().fill(value);
  if (by) await page.getByLabel('Your initials').fill(by);
  await leave(page, button(page, 'Store the car'));
  assert.match(page.url(), /\/cars\/[0-9a-f-]{36}/, await problemWords(page));
  return page.url();
}

async function choose(page, label, option) {
  const select = page.getByLabel(label, { exact: true });
  const fold = foldOf(select);
  if (await fold.getAttribute('open') === null) await press(fold.locator('summary').first());
  await select.selectOption({ label: option });
}

/** Starts a round on a car's page and returns its address. `sure` are words of the question that is confirmed before. */
export async function startRound(page, { depth = /^Full/, km, by = '', sure }) {
  await page.getByRole('radio', { name: depth }).check();
  const form = page.locator('form', { has: button(page, 'Start the round') });
  if (km) await form.getByLabel('Odometer').fill(km);
  if (by) await form.getByLabel('Your initials').fill(by);
  await leave(page, button(page, 'Start the round'));
  if (sure) {
    await problems(page).filter({ hasText: sure }).waitFor();
    await page.getByRole('checkbox', { name: /^Yes, this is right/ }).check();
    await leave(page, button(page, 'Start the round'));
  }
  assert.match(page.url(), /\/rounds\/[0-9a-f-]{36}$/, await problemWords(page));
  return page.url();
}

/** Says what the page complains about, for the message of a failed expectation. */
export async function problemWords(page) {
  const p = problems(page);
  return await p.count() ? `the page said: ${await p.first().innerText()}` : `at ${page.url()}`;
}

/** Goes to a point by its name in the list of the round. */
export async function goTo(page, round, name) {
  if (page.url().split(/[?#]/)[0] !== round) await page.goto(round);
  const row = page.locator('.walk a', { has: page.locator('.nm', { hasText: exactly(name) }) }).first();
  assert.equal(await row.count(), 1, `the round lists no point “${name}”`);
  if (!await row.isVisible()) await press(foldOf(row).locator('summary').first());
  await leave(page, row);
}

const exactly = (text) => new RegExp(`^${text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')}$`);

/** The way in which a point takes its answer. */
export async function shape(page) {
  if (await page.locator('.typeform').count()) return 'sheet';
  for (const [name, where] of [['rows', '#f-answers [data-row]'], ['grid', '#f-answers .corner'], ['buttons', '#f-answers button.answer'],
    ['choose', '#f-answers label.answer'], ['numbers', '#f-answers .bignum']]) if (await page.locator(where).count()) return name;
  throw new Error(`no way to answer found on ${page.url()}`);
}

/**
 * Answers the point on the page. For states: words of the answer (default: the first, which is the best one). For numbers
 * and codes: a value for each field in order; one value goes into every field. Returns the shape it found.
 */
export async function answer(page, { say, values = [] } = {}) {
  const kind = await shape(page);
  const area = page.locator('#f-answers');
  const point = page.url().split('?')[0];
  const named = (role) => say ? area.getByRole(role, { name: say }).first() : area.getByRole(role).first();
  if (kind === 'buttons') await leave(page, say ? named('button') : area.locator('button.answer').first());
  else if (kind === 'rows') await leave(page, named('button'));
  else {
    if (kind === 'choose') await press(area.locator('label.answer', say ? { hasText: say } : {}).first());
    const fields = await area.getByRole('textbox').all();
    for (let i = 0; i < fields.length; i++) if (values.length) await fields[i].fill(values[i % values.length]);
    await leave(page, area.getByRole('button', { name: 'Save', exact: true }).last());
  }
  assert.equal(await problems(page).count(), 0, `${point}: ${await problemWords(page)}`);
  return kind;
}

/** Loads a page again and again until something stands on it: what is told there may be a moment behind. */
export async function turnsUp(page, path, find) {
  for (let i = 0; i < 60; i++) {
    await page.goto(path);
    if (await find(page).count()) return;
    await page.waitForTimeout(250);
  }
  assert.fail(`${path} does not show it`);
}

/** Skips the point on the page with one of the usual reasons. */
export async function skip(page, reason) {
  const fold = await unfold(page, /or skip/);
  await press(fold.locator('label.answer', { hasText: reason }));
  await leave(page, fold.getByRole('button', { name: 'Save: not looked at' }));
}

/** What the page says was saved last. */
export const saved = (page) => page.locator('.saved [role=status]');

/** How many points are done, as the round's page says. */
export async function done(page, round) {
  await page.goto(round);
  return Number(await page.locator('p.tally b').innerText());
}
