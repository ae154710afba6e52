// How heavy and how quick it is. Limits are wide where a busy machine would break them; the figures are printed.

import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { brotliCompressSync, constants } from 'node:zlib';
import { browser, open, root, serve } from './house.mjs';

let server, chrome;
before(async () => {
  server = await serve();
  chrome = await browser();
});
after(async () => {
  await chrome.close();
  server.end();
});

const median = (list) => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)];

test('what the page weighs', () => {
  const dist = join(root, 'web/dist');
  const names = readdirSync(dist).filter((name) => !name.endsWith('.d.ts') && name !== 'OFL.txt');
  const sizes = names.map((name) => [name, brotliCompressSync(readFileSync(join(dist, name)), { params: { [constants.BROTLI_PARAM_QUALITY]: 11 } }).length]);
  const total = sizes.reduce((sum, [, size]) => sum + size, 0);
  console.log(`# the whole page ${total} bytes of brotli, the module ${sizes.find(([name]) => name.endsWith('.wasm'))[1]}`);
  assert.ok(total < Number(process.env.WEIGHT ?? 560_000), `${total} bytes`);
});

test('from opening it to the first drawing; two hundred edits', async (t) => {
  const context = await chrome.newContext({ viewport: { width: 1280, height: 900 } });
  await context.addInitScript(() => {
    globalThis.long = [];
    globalThis.shift = 0;
    new PerformanceObserver((list) => globalThis.long.push(...list.getEntries().map((entry) => entry.duration))).observe({ entryTypes: ['longtask'] });
    new PerformanceObserver((list) => list.getEntries().forEach((entry) => (globalThis.shift += entry.hadRecentInput ? 0 : entry.value))).observe({ type: 'layout-shift', buffered: true });
  });
  const firsts = [];
  for (let round = 0; round < 3; round++) {
    const page = await open(context, server.address);
    firsts.push(await page.evaluate(() => performance.getEntriesByName('ready')[0].startTime));
    await page.close();
  }
  const page = await open(context, server.address);
  await page.waitForTimeout(500);
  const shift = await page.evaluate(() => globalThis.shift);
  const figures = await page.evaluate(async () => {
    const field = document.getElementById('size-slot_opening');
    const edit = (text) => {
      const begun = performance.now();
      field.value = text;
      field.dispatchEvent(new InputEvent('input', { bubbles: true }));
      document.body.getBoundingClientRect();
      return performance.now() - begun;
    };
    for (let warm = 0; warm < 20; warm++) edit((9 + (warm % 20) / 10).toFixed(1));
    await new Promise((rest) => setTimeout(rest, 500));
    globalThis.long.length = 0;
    const times = [];
    for (let at = 0; at < 200; at++) {
      times.push(edit((9 + (at % 20) / 10).toFixed(1)));
      await new Promise(requestAnimationFrame);
    }
    return { times, long: globalThis.long };
  });
  console.log(`# ready after ${firsts.map((ms) => ms.toFixed(0)).join(', ')} ms; edit median ${median(figures.times).toFixed(1)}, worst ${Math.max(...figures.times).toFixed(1)} ms; long tasks ${figures.long.length}; layout shift ${shift.toFixed(4)}`);
  assert.ok(median(figures.times) < 40, 'median of an edit');
  // While it loads; what moves at an edit, moves under a hand that asked for it.
  assert.ok(shift <= 0.01, `layout shift ${shift}`);
  assert.ok(Math.min(...firsts) < 2000, 'first drawing');
  await context.close();
});

test('memory stays flat over many edits', async () => {
  const context = await chrome.newContext();
  const page = await open(context, server.address);
  const session = await context.newCDPSession(page);
  const heap = async () => {
    await session.send('HeapProfiler.collectGarbage');
    return (await session.send('Runtime.getHeapUsage')).usedSize;
  };
  const edit = (times) =>
    page.evaluate(async (times) => {
      const field = document.getElementById('size-slot_opening');
      for (let at = 0; at < times; at++) {
        field.value = (9 + (at % 20) / 10).toFixed(1);
        field.dispatchEvent(new InputEvent('input', { bubbles: true }));
        if (at % 50 === 0) await new Promise((rest) => setTimeout(rest));
      }
      await new Promise((rest) => setTimeout(rest, 600));
    }, times);
  await edit(100);
  const before = await heap();
  await edit(Number(process.env.EDITS ?? 500));
  const grown = ((await heap()) - before) / 1e6;
  console.log(`# heap grown by ${grown.toFixed(2)} MB`);
  assert.ok(grown < 3, `${grown} MB`);
  await context.close();
});
