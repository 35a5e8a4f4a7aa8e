// One browser for all tests; a context for each person. Every page is watched: an error in its script, a refused
// policy or an answer of 500 fails the test that caused it.
import { readFile, mkdir } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { execFileSync } from 'node:child_process';
import path from 'node:path';
import { chromium } from 'playwright-core';
import { shots } from './server.js';

const flags = ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking',
  '--disable-component-update', '--disable-sync', '--disable-dev-shm-usage'];

let browser;

/** Starts the system's Chromium. */
export async function open() {
  const executablePath = process.env.CHROMIUM || execFileSync('sh', ['-c', 'command -v chromium || command -v chromium-browser']).toString().trim();
  browser = await chromium.launch({ executablePath, args: flags });
  return browser.version();
}

export async function close() { await browser?.close(); }

const kinds = {
  phone: { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true },
  desk: { viewport: { width: 1280, height: 900 } },
};

/** A person with a device: "phone" or "desk". Cookies and storage are their own. */
export async function person(kind, server, { javaScriptEnabled = true, trace = () => {} } = {}) {
  const context = await browser.newContext({ ...kinds[kind], javaScriptEnabled, baseURL: server.url, locale: 'en-GB', acceptDownloads: true });
  context.setDefaultTimeout(30_000);
  const page = await context.newPage();
  const problems = [];
  page.on('pageerror', (e) => problems.push(`script: ${e.message}`));
  page.on('console', (m) => { if (m.type() === 'error' && !/Failed to load resource/.test(m.text())) problems.push(`console: ${m.text()}`); });
  page.on('response', (r) => { if (r.status() >= 500) problems.push(`${r.status()} ${r.request().method()} ${r.url()}`); });
  page.on('framenavigated', (f) => { if (f === page.mainFrame()) trace(`${kind} at ${f.url()}`); });
  return { page, context, kind, problems,
    /** Closes the device; what went wrong on its pages meanwhile is an error. */
    done: async () => {
      await context.close();
      if (problems.length) throw new Error(`on ${kind}: ${problems.join('; ')}`);
    } };
}

/** Runs `use` with a person and closes them, so that what went wrong on the pages is never lost. */
export async function as(kind, server, options, use) {
  const who = await person(kind, server, options);
  try { await use(who.page, who); } catch (e) {
    await shoot(who.page, `failed-${Date.now()}`).catch(() => {});
    const lines = who.problems.length ? `\non ${kind}: ${who.problems.join('; ')}` : '';
    const said = await who.page.locator('#problems').innerText({ timeout: 500 }).catch(() => '');
    e.stack = `${e.stack}${lines}\nat ${who.page.url()}${said ? `\nthe page said: ${said}` : ''}`;
    await who.context.close();
    throw e;
  }
  await who.done();
}

/** Keeps a picture of the whole page for people to look at. */
export async function shoot(page, name) {
  await mkdir(shots, { recursive: true });
  const width = page.viewportSize().width;
  await page.screenshot({ path: path.join(shots, `${name}-${width}.png`), fullPage: true });
}

const axeSource = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const standards = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];

/**
 * Checks a page in its present state against WCAG 2.2 AA, and that nothing is wider than the screen. Target size is
 * switched on by name. Returns the faults as lines; an empty list also means that rules did run.
 */
export async function faults(page) {
  // The policy of the pages forbids foreign scripts; evaluating through the browser's own protocol is not one.
  await page.evaluate(axeSource);
  const result = await page.evaluate((runOnly) => window.axe.run(document, {
    runOnly: { type: 'tag', values: runOnly }, rules: { 'target-size': { enabled: true } }, resultTypes: ['violations'],
  }), standards);
  if (result.passes.length < 5) throw new Error(`axe ran only ${result.passes.length} rules on ${page.url()}`);
  const lines = result.violations.flatMap((v) => v.nodes.map((n) => `${v.id} (${v.impact}): ${n.target.join(' ')} — ${n.failureSummary.replace(/\s+/g, ' ')}`));
  const wide = await page.evaluate(() => {
    const limit = document.documentElement.clientWidth;
    return document.documentElement.scrollWidth > limit ? `wider than the screen: ${document.documentElement.scrollWidth} px of ${limit}` : '';
  });
  return wide ? [...lines, wide] : lines;
}
