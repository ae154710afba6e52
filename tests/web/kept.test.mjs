// What a browser keeps of the page: a release is taken whole, and never under the hands of who has one open.

import assert from 'node:assert/strict';
import { appendFileSync, cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { test } from 'node:test';
import { root, serve } from './house.mjs';
import { journeys } from './journey.mjs';

const { stand } = journeys();

test('a new release comes whole, past what the browser still has, once the page is closed', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'kept-'));
  cpSync(join(root, 'web/dist'), folder, { recursive: true });
  const server = await serve(false, { folder, headers: { 'cache-control': 'max-age=3600' } });
  const context = await stand.chrome.newContext();
  try {
    const visit = async () => {
      const page = await context.newPage();
      await page.goto(server.address);
      await page.waitForFunction(() => document.body.dataset.ready === 'yes');
      return page;
    };
    const page = await visit();
    await page.evaluate(() => navigator.serviceWorker.ready);
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
    // Another copy on the same server keeps its own.
    await page.evaluate(() => caches.open('barwright-/other/-0123'));
    // The release after it.
    appendFileSync(join(folder, 'sizes.js'), '// two\n');
    const sw = readFileSync(join(folder, 'sw.js'), 'utf8');
    writeFileSync(join(folder, 'sw.js'), sw.replace(/(?<=OURS\})[0-9a-f]{12}/u, 'two'));
    assert.notEqual(readFileSync(join(folder, 'sw.js'), 'utf8'), sw);
    await page.evaluate(async () => (await navigator.serviceWorker.ready).update());
    await page.waitForFunction(async () => (await navigator.serviceWorker.ready).waiting?.state === 'installed');
    const script = (page) => page.evaluate(async () => (await fetch('sizes.js')).text());
    assert.doesNotMatch(await script(page), /\/\/ two/u, 'the open page goes on with its own');
    await page.close();
    let after = await visit();
    // A browser may take a moment to let go of what was closed.
    for (let turn = 0; turn < 20 && !/\/\/ two/u.test(await script(after)); turn++) {
      await after.close();
      await new Promise((rest) => setTimeout(rest, 250));
      after = await visit();
    }
    assert.match(await script(after), /\/\/ two/u);
    assert.deepEqual((await after.evaluate(() => caches.keys())).map((name) => name.replace(/[0-9a-f]{12}$/u, '')).sort(), ['barwright-/-two', 'barwright-/other/-0123']);
  } finally {
    await context.close();
    server.end();
    rmSync(folder, { recursive: true });
  }
});
