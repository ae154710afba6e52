// The page and the command line give the same bytes.

import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { barwright, browser, inPage, made, open, serve } from './house.mjs';

let server, chrome, page;
before(async () => {
  server = await serve();
  chrome = await browser();
  page = await open(await chrome.newContext(), server.address);
});
after(async () => {
  await chrome.close();
  server.end();
});

function alike(ours, theirs, what) {
  if (theirs === null) {
    assert.deepEqual(Object.keys(ours), [], `${what}: refused on the command line, so no files in the page`);
    return;
  }
  for (const [name, text] of Object.entries(ours)) {
    assert.ok(theirs[name], `${what}: the command line writes ${name} too`);
    assert.ok(Buffer.from(text, 'latin1').equals(theirs[name]), `${what}: ${name} is the same`);
  }
  for (const name of ['drawing.svg', 'drawing.pdf', 'part.json', 'program-1.nc']) assert.ok(name in ours, `${what}: the page has ${name}`);
}

test('examples of every family, with every control', async () => {
  const families = JSON.parse(execFileSync(barwright, ['families', '--json']).toString());
  const orders = [];
  for (const family of families) {
    const told = JSON.parse(await page.evaluate(async (name) => JSON.stringify((await import('./core.js').then(({ Core }) => new Core().openFamily(name))).family), family.name));
    for (const example of told.examples) {
      for (const control of ['canned', 'written-out', 'absolute']) orders.push({ family: family.name, sizes: example.sizes, unit: example.unit ?? 'mm', control });
    }
  }
  assert.ok(orders.length >= 6, 'there are examples');
  const ours = await inPage(page, orders);
  for (const [index, { family, sizes, unit, control }] of orders.entries()) alike(ours[index], made(family, sizes, unit, ['--control', control]), `${family}, ${control}, ${unit}`);
});

/** A plain generator with a fixed start, so that a failure comes again (Numerical Recipes' constants). */
function dice(seed) {
  let state = seed >>> 0;
  return () => (state = (Math.imul(state, 1664525) + 1013904223) >>> 0) / 2 ** 32;
}

/** What a person may type for a size: mostly what is usual, or near it; now and then anything between its limits. */
function typed(size, roll) {
  if (size.one_of.length > 0) return size.one_of[Math.floor(roll() * size.one_of.length)];
  if (size.kind === 'yes or no') return roll() < 0.5 ? 'yes' : 'no';
  const choices = { material: ['brass-c36000', 'aluminium-6061-t6', 'steel-1018'], thread: ['M3', 'M4', 'M5', 'M6', '8-32', '10-32', '1/4-20'], fit: ['H7', 'H7/g6', '0.05 to 0.10 mm'] }[size.kind];
  if (choices) return choices[Math.floor(roll() * choices.length)];
  const number = (text) => Number(/^-?[\d.]+(?= mm$|$)/u.exec(text ?? '')?.[0]);
  const [from, to, usual] = [size.from?.[0], size.to?.[0], size.usual].map(number);
  if (!(to > from)) return null;
  if (size.kind === 'count') return String(from + Math.floor(roll() * (Math.min(to, from + 6) - from + 1)));
  const near = Number.isFinite(usual) && roll() < 0.8;
  const value = near ? Math.min(to, Math.max(from, usual * (0.7 + 0.6 * roll()))) : from + (to - from) * roll();
  const text = value.toFixed(Math.floor(roll() * 3));
  return size.kind !== 'length' ? null : roll() < 0.2 ? `${text.replace('.', ',')} mm` : roll() < 0.1 ? `${(value / 25.4).toFixed(3)} in` : `${text} mm`;
}

const FAMILIES = ['joining-key', 'spacer-bar', 'tapped-plate', 'clamp-bar'];

test('random variants of every family', async () => {
  const roll = dice(20);
  const count = Number(process.env.VARIANTS ?? 500);
  const told = {};
  for (const family of FAMILIES) told[family] = JSON.parse(await page.evaluate(async (name) => JSON.stringify((await import('./core.js').then(({ Core }) => new Core().openFamily(name))).family.sizes), family));
  const good = Object.fromEntries(FAMILIES.map((family) => [family, 0]));
  for (let done = 0; done < count; done += 20) {
    const orders = Array.from({ length: Math.min(20, count - done) }, (_, at) => {
      const family = FAMILIES[at % FAMILIES.length];
      const sizes = {};
      for (const size of told[family]) {
        const text = roll() < 4 / told[family].length ? typed(size, roll) : null;
        if (text !== null) sizes[size.name] = text;
      }
      return { family, sizes, unit: roll() < 0.3 ? 'in' : 'mm' };
    });
    const ours = await inPage(page, orders, 'hashes');
    for (const [index, { family, sizes, unit }] of orders.entries()) {
      const theirs = made(family, sizes, unit);
      const what = JSON.stringify({ family, sizes, unit });
      const hashed = Object.fromEntries(Object.entries(theirs ?? {}).map(([name, bytes]) => [name, createHash('sha256').update(bytes).digest('hex')]));
      assert.deepEqual(ours[index], hashed, `${what}: the same files and the same bytes`);
      if (theirs) good[family] += 1;
    }
  }
  console.log(`# made, and not refused, of ${count}: ${Object.entries(good).map((one) => one.join(' ')).join(', ')}`);
  for (const family of FAMILIES) assert.ok(good[family] > count / 40, `many of ${family} are made, not refused: ${good[family]} of ${count / 4}`);
});

test('the archive holds the same files', async () => {
  const text = await page.evaluate(async () => {
    const { Core } = await import('./core.js');
    const core = new Core();
    core.openFamily('joining-key');
    core.make({ unit: 'mm', sizes: {} });
    return Array.from(core.archive(), (byte) => String.fromCharCode(byte)).join('');
  });
  const folder = mkdtempSync(join(tmpdir(), 'barwright-'));
  try {
    writeFileSync(join(folder, 'all.zip'), Buffer.from(text, 'latin1'));
    execFileSync('unzip', ['-q', 'all.zip'], { cwd: folder });
    const theirs = made('joining-key', {}, 'mm');
    for (const name of ['drawing.svg', 'drawing.pdf', 'program-1.nc', 'first-piece.csv', 'part.json']) {
      assert.ok(readFileSync(join(folder, 'JK-10mm-4xM5-60mm-brass-c36000', name)).equals(theirs[name]), name);
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});
