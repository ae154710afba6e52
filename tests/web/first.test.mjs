// Until the core is there: the usual variant as it was drawn when the page was built, where the address
// asks for just that; nothing else, and nothing to take or print.

import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { join } from 'node:path';
import { made, root } from './house.mjs';
import { drop, journeys } from './journey.mjs';

const { stand } = journeys();

const { USUAL: usual } = await import('../../web/dist/usual.js');

/** A page whose module is on its way until `let go` is called, or never comes. */
async function waiting(address, { fails = false, ...options } = {}) {
  const context = await stand.chrome.newContext({ viewport: { width: 1280, height: 900 }, serviceWorkers: 'block', ...options });
  const page = await context.newPage();
  await page.addInitScript(() => {
    globalThis.shift = 0;
    new PerformanceObserver((list) => list.getEntries().forEach((entry) => (globalThis.shift += entry.value, globalThis.moved = [...(globalThis.moved ?? []), ...entry.sources.map((one) => `${one.node?.nodeName} ${one.node?.id} ${one.previousRect.y} to ${one.currentRect.y}`)]))).observe({ type: 'layout-shift', buffered: true });
  });
  let go;
  const gone = new Promise((resolve) => (go = resolve));
  await page.route('**/barwright_bg.wasm', async (route) => {
    await gone;
    await (fails ? route.abort() : route.continue());
  });
  await page.goto(stand.server.address + address, { waitUntil: 'commit' });
  await page.locator('footer').waitFor();
  const there = async (state) => {
    go();
    await page.waitForFunction((state) => document.body.dataset.ready === state, state);
  };
  return { page, there, end: () => context.close() };
}

const seen = (page) => page.locator('#sheet > svg').first().isVisible();

test('what is shown is what core and command line make', async () => {
  const files = made('joining-key', {}, 'mm');
  for (const run of usual.told.goods.runs) assert.ok(files[run.file].toString() === run.text, run.file);
  assert.equal(usual.address, `#joining-key/mm?part-digest=${JSON.parse(files['part.json'].toString()).digest.slice(0, 12)}`);
  const { page, there, end } = await waiting('');
  await there('yes');
  const told = await page.evaluate(async () => {
    const { Core } = await import('./core.js');
    const core = new Core();
    const { shop } = core.openShop();
    const { family } = core.openFamily('joining-key');
    return { shop, family, told: core.make({ unit: 'mm', sizes: {} }) };
  });
  assert.deepEqual(told, { shop: usual.shop, family: usual.family, told: usual.told });
  await end();
});

for (const [name, address] of [['no address', ''], ['its own address', usual.address]]) {
  test(`drawn before the core is there, and not once more when it is: ${name}`, async () => {
    const { page, there, end } = await waiting(address);
    await page.locator('#sheet > svg').waitFor();
    await page.evaluate(() => {
      globalThis.outline = document.querySelector('#sheet [data-role="outline"]');
      globalThis.changes = [];
      new MutationObserver((list) => globalThis.changes.push(...list.map((one) => `${one.type} ${one.target.nodeName}`))).observe(document.getElementById('sheet'), { childList: true, subtree: true, characterData: true });
    });
    await there('yes');
    assert.deepEqual(await page.evaluate(() => [globalThis.outline.isConnected, globalThis.changes]), [true, []]);
    assert.ok(await seen(page));
    await end();
  });
}

test('any other address shows nothing until the core has worked it out', async () => {
  for (const other of [usual.address.replace(/=.*/u, '=000000000000'), '#joining-key/mm?slot_opening=9', '#joining-key/in', '#spacer-bar', '#joining-key/mm/report-language']) {
    const { page, there, end } = await waiting(other);
    assert.equal(await seen(page), false, other);
    await there('yes');
    assert.ok(await seen(page), other);
    await end();
  }
});

test('a core that never comes, and a browser without scripts, show no drawing', async () => {
  const failed = await waiting('', { fails: true });
  await failed.page.locator('#sheet > svg').waitFor();
  await failed.there('no');
  assert.equal(await seen(failed.page), false);
  assert.match(await failed.page.locator('#verdict').innerText(), /could not start/u);
  await failed.end();
  const bare = await waiting('', { javaScriptEnabled: false });
  assert.equal(await seen(bare.page), false);
  await bare.end();
});

test('nothing is printed before it can be printed to scale', async () => {
  const { page, there, end } = await waiting('#spacer-bar');
  await page.emulateMedia({ media: 'print' });
  assert.ok(await page.locator('#no-sheet').isVisible());
  assert.equal(await page.locator('main').isVisible(), false);
  await there('yes');
  assert.ok(await seen(page));
  assert.equal(await page.locator('#no-sheet').isVisible(), false);
  await end();
});

test('what is typed before the core is there waits for it, and nothing of before is to be had', async () => {
  const { page, there, end } = await waiting('');
  const field = page.locator('#size-slot_opening');
  await field.fill('9');
  assert.equal(await page.evaluate(() => document.body.dataset.busy), 'yes');
  assert.match(await page.locator('#said').innerText(), /still loading/u);
  assert.notEqual(await page.evaluate(() => document.querySelector('.papers').inert && document.querySelector('.drawing').inert), false);
  await page.emulateMedia({ media: 'print' });
  assert.equal(await seen(page), false);
  await page.emulateMedia({ media: null });
  await field.focus();
  const before = await page.locator('#number').innerText();
  await there('yes');
  assert.notEqual(await page.locator('#number').innerText(), before);
  assert.equal(await field.inputValue(), '9');
  assert.equal(await page.evaluate(() => document.activeElement?.id), 'size-slot_opening');
  assert.equal(await page.evaluate(() => document.body.dataset.busy), 'no');
  await page.waitForFunction(() => location.hash.includes('slot_opening=9'));
  await end();
});

test('a file dropped before the core is there is opened by it', async () => {
  const { page, there, end } = await waiting('');
  const family = readFileSync(join(root, 'families/clamp-bar.yaml'), 'utf8').replace('title: Clamp bar', 'title: My clamp');
  await drop(page, [['mine.yaml', family]]);
  await there('yes');
  await page.waitForFunction(() => document.getElementById('own-said').textContent.includes('mine.yaml is open'));
  assert.match(await page.title(), /My clamp/u);
  await end();
});

test('the unit turned before the core is there leaves the part what it is', async () => {
  const { page, there, end } = await waiting('');
  await page.locator('#size-slot_opening').fill('9');
  await page.locator('input[name=unit][value=in]').check();
  await there('yes');
  assert.equal(await page.locator('#size-slot_opening').inputValue(), '9 mm');
  assert.match(await page.locator('#number').innerText(), /^JK-0\.354/u);
  await end();
});

test('the page keeps its places when the core arrives', async () => {
  for (const viewport of [{ width: 1280, height: 900 }, { width: 390, height: 800 }]) {
    const { page, there, end } = await waiting('', { viewport });
    // So that it is painted as it stands.
    await page.evaluate(() => new Promise((rest) => requestAnimationFrame(() => requestAnimationFrame(rest))));
    if (process.env.LOOK) await page.screenshot({ path: join(process.env.LOOK, `first-${viewport.width}.png`) });
    await there('yes');
    await page.waitForTimeout(300);
    const [shift, moved] = await page.evaluate(() => [globalThis.shift, globalThis.moved ?? []]);
    console.log(`# ${viewport.width} wide: layout shift ${shift.toFixed(4)} ${moved.join('; ')}`);
    assert.ok(shift <= 0.01, `${viewport.width}: ${shift}`);
    await end();
  }
});
