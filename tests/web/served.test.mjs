// `barwright page`: the same page out of the program itself.

import assert from 'node:assert/strict';
import { spawn } from 'node:child_process';
import { test } from 'node:test';
import { barwright, browser, open } from './house.mjs';

test('barwright page serves what was built, to this machine alone', async () => {
  const served = spawn(barwright, ['page'], { stdio: ['ignore', 'pipe', 'pipe'] });
  const chrome = await browser();
  try {
    const address = await new Promise((told, failed) => {
      let said = '';
      served.stdout.on('data', (chunk) => {
        const match = /http:\/\/127\.0\.0\.1:\d+\//u.exec((said += chunk));
        if (match) told(match[0]);
      });
      served.stderr.on('data', (chunk) => failed(new Error(String(chunk))));
    });
    const answer = await fetch(address);
    assert.match(answer.headers.get('content-security-policy'), /default-src 'none'.*frame-ancestors 'none'/u);
    assert.equal((await fetch(`${address}barwright_bg.wasm`)).headers.get('content-type'), 'application/wasm');
    assert.equal((await fetch(`${address}nothing`)).status, 404);
    assert.equal((await fetch(`${address}shop`)).url, `${address}shop/`, 'a folder');
    const page = await open(await chrome.newContext(), address);
    assert.match(await page.locator('#number').innerText(), /^JK-10mm/u);
    assert.deepEqual(await page.complaints(), []);
    // The page keeps itself for working without a network, and itself alone.
    await page.evaluate(() => navigator.serviceWorker.ready);
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
    const order = await page.context().newPage();
    const complaints = [];
    order.on('console', (message) => complaints.push(message.text()));
    const shop = await order.goto(`${address}shop/`);
    assert.match(shop.headers()['content-security-policy'], /form-action 'self'.*trusted-types barwright-part$/u);
    await order.waitForFunction(() => document.querySelector('barwright-part')?.matches(':state(ready)'), undefined, { timeout: 60_000 });
    await order.getByLabel('Opening of the slot', { exact: true }).fill('9.5');
    await order.getByLabel('Pieces').fill('12');
    await order.getByLabel('Your e-mail').fill('nobody@example.org');
    await order.getByRole('button', { name: 'Ask for an offer' }).click();
    await order.waitForURL(/order\.html/u);
    const sent = Object.fromEntries(new URL(order.url()).searchParams);
    assert.match(sent.key, /^JK-9.5mm-/u);
    assert.equal(sent.pieces, '12');
    assert.ok(!('slot' in sent), 'the fallback is asleep');
    await page.goto(`${address}${sent['key.link']}`);
    await page.waitForFunction((number) => document.getElementById('number').textContent === number, sent.key);
    assert.equal(await page.locator('#note').isVisible(), false, 'the same part as when it was ordered');
    assert.deepEqual(complaints, []);
  } finally {
    await chrome.close();
    served.kill();
  }
});
