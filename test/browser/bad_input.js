// What must be refused: nothing of it is stored, the reason is told, and the server goes on.
import assert from 'node:assert/strict';
import { test } from './lib/tap.js';
import { as } from './lib/browser.js';
import { filesBelow } from './lib/server.js';
import { server } from './lib/shared.js';
import { jpegHead, png } from './lib/picture.js';
import { goTo, newCar, startRound, unfold } from './lib/walk.js';

const s = () => server('bad');
let round;

test('bad input: a round to try it on', async (trace) => {
  await as('desk', await s(), { trace }, async (page) => {
    await newCar(page, { plate: 'NB-5L 771', description: 'Estate 2.0 diesel, blue', odometer: '60 000', by: 'AW' });
    round = await startRound(page, { km: '60 000', by: 'AW' });
  });
});
const after = { after: 'bad input: a round to try it on' };

const pictures = {
  'a head of 50 megapixels': jpegHead(10000, 5000),
  'a head of 65535 by 65535': jpegHead(65535, 65535),
  'a truncated JPEG': jpegHead(640, 480),
  'a truncated PNG': png(640, 480).subarray(0, 300),
  'a text that calls itself a picture': Buffer.from('GIF89a? no: a text'),
};

for (const [what, buffer] of Object.entries(pictures)) {
  test(`bad input: ${what} is refused and leaves nothing`, async (trace) => {
    await as('phone', await s(), { trace }, async (page) => {
      const before = (await filesBelow(`${(await s()).data}/photos`)).length;
      await goTo(page, round, 'Battery terminals');
      await unfold(page, /^Photo/);
      await page.getByLabel(/Take or choose a picture/).setInputFiles({ name: 'x.jpg', mimeType: 'image/jpeg', buffer });
      await page.locator('#problems').waitFor();
      assert.match(await page.locator('#problems').innerText(), /photo|picture/i);
      assert.equal((await filesBelow(`${(await s()).data}/photos`)).length, before, 'nothing is stored');
      await goTo(page, round, 'Battery terminals');
      assert.equal(await page.locator('form.photo').count(), 0);
    });
  }, after);
}

test('bad input: a body of 100 MB is refused without being taken', async (trace) => {
  await as('desk', await s(), { trace }, async (page) => {
    const { url, data, running } = await s();
    const before = (await filesBelow(data)).length;
    for (const path of [`${round}/points/battery-terminals/photo`, `${round}/type`, `${url}/cars`]) {
      const status = await post(path, url, 100 * 1024 * 1024);
      assert.ok([413, 'closed'].includes(status), `${path} answered ${status}`);
    }
    assert.ok(running(), 'the server is still up');
    assert.equal((await filesBelow(data)).length, before, 'no file was left behind');
    const res = await page.goto(round);
    assert.equal(res.status(), 200);
  });
}, after);

// post sends that many bytes and returns the status, or "closed" when the server hung up on the rest, as it may.
async function post(path, origin, bytes) {
  const piece = Buffer.alloc(1 << 20, 'a=b&');
  const photo = path.endsWith('photo');
  let left = bytes;
  const body = new ReadableStream({ start(c) {
    if (photo) c.enqueue(Buffer.from('--x\r\ncontent-disposition: form-data; name="photo"; filename="a.jpg"\r\n\r\n'));
  }, pull(c) { if (left <= 0) return c.close(); left -= piece.length; c.enqueue(piece); } });
  try {
    const res = await fetch(path, { method: 'POST', duplex: 'half', body, redirect: 'manual',
      headers: { 'content-type': photo ? 'multipart/form-data; boundary=x' : 'application/x-www-form-urlencoded', origin } });
    return res.status;
  } catch (e) {
    if (/ECONNRESET|EPIPE|UND_ERR_SOCKET|other side closed/.test(`${e.cause?.code} ${e.cause?.message}`)) return 'closed';
    throw e;
  }
}

test('bad input: forms from another site, unknown points and places are refused', async (trace) => {
  await as('desk', await s(), { trace }, async (page) => {
    const send = (path, form, headers = {}) => page.context().request.post(path, { form, headers: { origin: new URL(round).origin, ...headers }, maxRedirects: 0 });
    assert.equal((await send(`${round}/end`, { id: 'x' }, { origin: 'https://elsewhere.example', 'sec-fetch-site': 'cross-site' })).status(), 403);
    assert.equal((await page.context().request.get(`${round}/points/no-such-point`)).status(), 404);
    assert.equal((await page.context().request.get(`${round}/points/tyre-tread`, { method: 'DELETE' })).status(), 200);
    const before = await tally(page);
    for (const fields of [
      { 'state|battery-terminals|': 'shiny', do: 'save' },
      { 'state|battery-terminals|FL': 'clean', do: 'save' },
      { 'num|tyre-tread|FL/inner|mm': '3 kg', do: 'save' },
      { 'num|tyre-tread|XX/inner|mm': '3', do: 'save' },
    ]) {
      const point = Object.keys(fields)[0].split('|')[1];
      const res = await send(`${round}/points/${point}`, fields);
      assert.ok(res.status() >= 400 && res.status() < 500, `${JSON.stringify(fields)} was answered ${res.status()}`);
    }
    assert.equal(await tally(page), before, 'nothing of it is stored');
  });
}, after);

async function tally(page) {
  await page.goto(round);
  return page.locator('p.tally').innerText();
}
