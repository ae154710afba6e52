// The page and the command line give the same bytes.

import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { execFileSync } from 'node:child_process';
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

test('random variants', async () => {
  const roll = dice(20);
  const between = (low, high, step) => low + Math.floor((roll() * (high - low)) / step) * step;
  const count = Number(process.env.VARIANTS ?? 100);
  const screws = ['M3', 'M4', 'M5', 'M5', 'M6', '8-32', '10-32', '1/4-20'];
  const materials = ['brass-c36000', 'aluminium-6061-t6', 'steel-1018'];
  const orders = Array.from({ length: count }, () => {
    const slot = between(9, 14, 0.1);
    const sizes = {
      slot_opening: slot.toFixed(1),
      channel_width: (slot + between(5, 8, 0.25)).toFixed(2),
      lip_thickness: between(2.5, 4.5, 0.1).toFixed(1),
      channel_depth: between(8, 14, 0.2).toFixed(1),
      length_per_rail: between(30, 60, 0.5).toFixed(1),
      screws: String(Math.floor(between(1, 4, 1))),
      screw: screws[Math.floor(roll() * screws.length)],
      material: materials[Math.floor(roll() * materials.length)],
    };
    const unit = roll() < 0.3 ? 'in' : 'mm';
    if (unit === 'in') for (const name of Object.keys(sizes)) if (/^\d+\.\d+$/u.test(sizes[name])) sizes[name] += ' mm';
    return { family: 'joining-key', sizes, unit };
  });
  const ours = await inPage(page, orders);
  let good = 0;
  for (const [index, { family, sizes, unit }] of orders.entries()) {
    const theirs = made(family, sizes, unit);
    if (theirs) good++;
    alike(ours[index], theirs, JSON.stringify({ sizes, unit }));
  }
  assert.ok(good > count / 5, `many of them are made, not refused: ${good} of ${count}`);
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
