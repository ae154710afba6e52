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
    const page = await open(await chrome.newContext(), address);
    assert.match(await page.locator('#number').innerText(), /^JK-10mm/u);
    assert.deepEqual(await page.complaints(), []);
  } finally {
    await chrome.close();
    served.kill();
  }
});
