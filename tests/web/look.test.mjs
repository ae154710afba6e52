// How it looks and prints: accessibility, paper, widths, light and dark.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { mkdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { open, root } from './house.mjs';
import { journeys } from './journey.mjs';
import { frame, printed } from './paper.mjs';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

const { stand } = journeys();

/** What the checker finds. */
async function findings(page) {
  await page.evaluate(axe);
  const result = await page.evaluate(() => globalThis.axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }));
  return result.violations.map((one) => `${one.id}: ${one.nodes.map((node) => `${node.target} ${node.failureSummary}`).join('; ')}`);
}

const WIDTHS = [360, 1024, 1680];
const REFUSED = '#joining-key/mm?screws=4';

for (const scheme of ['light', 'dark']) {
  for (const width of WIDTHS) {
    test(`${scheme}, ${width} wide: no finding, nothing off the side`, async () => {
      const context = await stand.chrome.newContext({ viewport: { width, height: 900 }, colorScheme: scheme, reducedMotion: 'reduce' });
      const shots = join(root, 'target/page');
      mkdirSync(shots, { recursive: true });
      for (const [name, hash] of [['holds', ''], ['refused', REFUSED]]) {
        const page = await open(context, stand.server.address + hash);
        if (name === 'holds') await page.locator('#size-slot_opening').focus();
        assert.deepEqual(await findings(page), [], name);
        for (const tab of ['First piece', 'What follows', 'Rules', 'Files', 'Program']) {
          await page.getByRole('tab', { name: tab }).click();
          assert.deepEqual(await findings(page), [], `${name}, ${tab}`);
          await page.screenshot({ path: join(shots, `${scheme}-${width}-${name}-${tab.replace(' ', '-')}.png`), fullPage: tab === 'Program' });
        }
        const across = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
        assert.ok(across <= 0, `${name}: scrolls sideways by ${across}`);
        await page.close();
      }
      await context.close();
    });
  }
}

for (const [scheme, width] of [['light', 360], ['dark', 1024]]) {
  test(`parts of several setups, ${scheme}, ${width} wide: no finding, nothing off the side`, async () => {
    const context = await stand.chrome.newContext({ viewport: { width, height: 900 }, colorScheme: scheme });
    for (const [name, hash] of [['plate', '#tapped-plate/mm'], ['clamp', '#clamp-bar/in'], ['post', '#spacer-bar/mm?length=60&cross_holes=1&holes=tapped&end_holes=yes']]) {
      const page = await open(context, stand.server.address + hash);
      await page.locator('#runs button').last().click();
      for (const tab of ['First piece', 'Program']) {
        await page.getByRole('tab', { name: tab }).click();
        assert.deepEqual(await findings(page), [], `${name}, ${tab}`);
        assert.ok((await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)) <= 0, `${name}, ${tab}`);
        await page.locator('.papers').screenshot({ path: join(root, `target/page/${name}-${scheme}-${width}-${tab.replace(' ', '-')}.png`) });
      }
      await page.close();
    }
    await context.close();
  });
}

test('at 200 % nothing is lost and nothing goes off the side', async () => {
  const context = await stand.chrome.newContext({ viewport: { width: 640, height: 450 }, deviceScaleFactor: 2 });
  const page = await open(context, stand.server.address);
  assert.deepEqual(await findings(page), []);
  assert.ok((await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)) <= 0);
  await context.close();
});

test('a whole sheet is whole, whatever its paper, on every width that shows it so', async () => {
  for (const width of [1024, 1280, 1680]) {
    const context = await stand.chrome.newContext({ viewport: { width, height: 900 } });
    const page = await open(context, stand.server.address);
    for (const unit of ['mm', 'inch', 'mm']) {
      await page.getByLabel(unit, { exact: true }).check();
      const over = await page.locator('#sheet').evaluate((node) => [node.scrollHeight - node.clientHeight, node.scrollWidth - node.clientWidth]);
      assert.ok(Math.max(...over) <= 1, `${width}, ${unit}: ${over} px are beyond the edge`);
    }
    await context.close();
  }
});

test('in forced colours the sheet is paper, and the picked thing is told without plum', async () => {
  const context = await stand.chrome.newContext({ viewport: { width: 1280, height: 900 }, forcedColors: 'active', colorScheme: 'dark' });
  const page = await open(context, stand.server.address);
  await page.locator('#size-slot_opening').focus();
  assert.deepEqual(await findings(page), []);
  const seen = await page.evaluate(() => {
    const style = (selector) => getComputedStyle(document.querySelector(selector));
    return { ground: style('#sheet').backgroundColor, ink: style('#sheet [stroke="#000"]').stroke, picked: style('.size.on').outlineStyle, line: Number.parseFloat(style('#sheet .on').strokeWidth) };
  });
  assert.deepEqual({ ground: seen.ground, ink: seen.ink, picked: seen.picked }, { ground: 'rgb(255, 255, 255)', ink: 'rgb(0, 0, 0)', picked: 'solid' });
  assert.ok(seen.line >= 0.5, `a heavier line: ${seen.line}`);
  await context.close();
});

test('on a phone the words of the drawing can be read', async () => {
  const context = await stand.chrome.newContext({ viewport: { width: 360, height: 740 }, hasTouch: true });
  const page = await open(context, stand.server.address);
  const sizes = await page.locator('#sheet text').evaluateAll((nodes) => nodes.map((node) => parseFloat(node.getAttribute('font-size')) * node.ownerSVGElement.getScreenCTM().d));
  assert.ok(Math.min(...sizes) >= 8.5, `smallest ${Math.min(...sizes)} px`);
  const targets = await page.locator('button:visible, select:visible, input:visible, summary:visible').evaluateAll((nodes) =>
    nodes.filter((node) => node.type !== 'radio' && !node.classList.contains('aside')).map((node) => ({ height: node.getBoundingClientRect().height, text: node.outerHTML.slice(0, 80) })).filter(({ height }) => height < 23.5));
  assert.deepEqual(targets, [], 'everything can be touched');
  await context.close();
});

/** Contrast of two colours (WCAG 2.2, relative luminance). */
function contrast(one, other) {
  const light = (hex) => {
    const parts = [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16) / 255).map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4));
    return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2];
  };
  const [high, low] = [light(one), light(other)].sort((a, b) => b - a);
  return (high + 0.05) / (low + 0.05);
}

test('ink and lines stand out from both grounds, on the canvas and in the drawing too', async () => {
  for (const scheme of ['light', 'dark']) {
    const context = await stand.chrome.newContext({ colorScheme: scheme });
    const page = await open(context, stand.server.address);
    const colour = await page.evaluate(() => Object.fromEntries(['bench', 'sheet', 'ink', 'quiet', 'rule', 'thread', 'holds', 'caution', 'refused'].map((name) => [name, getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim()])));
    for (const ground of ['bench', 'sheet']) {
      for (const name of ['ink', 'quiet', 'thread', 'holds', 'caution', 'refused']) assert.ok(contrast(colour[name], colour[ground]) >= 4.5, `${scheme}: ${name} on ${ground}`);
      assert.ok(contrast(colour.rule, colour[ground]) >= 3, `${scheme}: rule on ${ground}`);
    }
    await context.close();
  }
});

for (const scheme of ['light', 'dark']) {
  test(`prints the sheet alone at its true size, from ${scheme}`, async () => {
    const context = await stand.chrome.newContext({ colorScheme: scheme });
    const page = await open(context, stand.server.address);
    await page.locator('#size-slot_opening').focus();
    const { pages, width, height, words, ink } = await printed(page);
    assert.equal(pages, 1);
    // Whole pixels of a browser are 0.26 mm; that is the paper, not the scale.
    assert.ok(Math.abs(width - 297) < 0.3 && Math.abs(height - 210) < 0.3, `${width} × ${height}`);
    assert.match(words, /CHECK BAR/u);
    assert.doesNotMatch(words, /Opening of the slot|Verdict/u, 'nothing but the sheet');
    const drawn = await page.evaluate(() => {
      const rows = [...document.querySelectorAll('#sheet [data-role=frame] path')].map((node) => node.getBBox());
      return { along: Math.max(...rows.map((box) => box.width)), up: Math.max(...rows.map((box) => box.height)) };
    });
    const inked = frame(ink);
    console.log(`# frame ${inked.along.toFixed(3)} × ${inked.up.toFixed(3)} mm on paper, ${drawn.along} × ${drawn.up} drawn`);
    assert.ok(Math.abs(inked.along - drawn.along) < 0.05, `frame along: ${inked.along} for ${drawn.along}`);
    assert.ok(Math.abs(inked.up - drawn.up) < 0.05, `frame up: ${inked.up} for ${drawn.up}`);
    await context.close();
  });
}

test('each sheet of a drawing has a page', async () => {
  const context = await stand.chrome.newContext();
  const sizes = { length: '200mm', width: '60mm', pitch: '15mm', screw: 'M5', omit: '1/2, 2/1, 3/1, 3/2, 4/1, 4/2, 5/1, 5/2, 7/1, 7/2, 8/1, 8/2, 10/1, 10/2' };
  const page = await open(context, `${stand.server.address}#tapped-plate/mm?${new URLSearchParams(sizes)}`);
  const sheets = await page.locator('#sheet svg').count();
  assert.ok(sheets > 1);
  assert.equal((await printed(page)).pages, sheets);
  await context.close();
});

test('a refusal prints no drawing', async () => {
  const context = await stand.chrome.newContext();
  const page = await open(context, stand.server.address);
  await page.locator('#size-screws').fill('4');
  const { pages, words } = await printed(page);
  assert.equal(pages, 1);
  assert.equal(words.trim(), 'There is no drawing to print: the sizes are refused, or the page is still loading.');
  await context.close();
});
