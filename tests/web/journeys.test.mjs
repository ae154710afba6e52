// What people do with the page, by keyboard and by pointer.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { made, open, root } from './house.mjs';
import { drawing, drop, journeys, program, text, word } from './journey.mjs';

const { journey, stand } = journeys();

/** A plate whose holes fill a table of their own. */
const MANY = { length: '200mm', width: '60mm', pitch: '15mm', screw: 'M5', omit: '1/2, 2/1, 3/1, 3/2, 4/1, 4/2, 5/1, 5/2, 7/1, 7/2, 8/1, 8/2, 10/1, 10/2' };

async function download(page, act) {
  const [file] = await Promise.all([page.waitForEvent('download'), act()]);
  return { name: file.suggestedFilename(), bytes: readFileSync(await file.path()) };
}

journey('each keystroke gives a new drawing and program', async (page) => {
  const field = page.getByLabel('Opening of the slot', { exact: true });
  await field.focus();
  await page.keyboard.press('Control+A');
  const before = [await drawing(page), await program(page)];
  await page.keyboard.type('9');
  const nine = [await drawing(page), await program(page)];
  assert.notEqual(nine[0], before[0]);
  assert.notEqual(nine[1], before[1]);
  await page.keyboard.type(',5');
  assert.match(await text(page, '#number'), /^JK-9.5mm-/u, 'a comma is a decimal sign too');
  assert.notEqual(await drawing(page), nine[0]);
});

journey('arrow keys step a size, with Shift by ten', async (page) => {
  const field = page.getByLabel('Opening of the slot', { exact: true });
  await field.focus();
  await page.keyboard.press('ArrowDown');
  assert.equal(await field.inputValue(), '9.9 mm');
  await page.keyboard.press('Shift+ArrowUp');
  assert.equal(await field.inputValue(), '10.9 mm');
});

journey('a size is typed as people type it, in inches', async (page) => {
  await page.getByLabel('inch', { exact: true }).check();
  assert.match(await text(page, '#number'), /^JK-0.375in-/u, 'nothing was typed: what is usual in inches');
  const field = page.getByLabel('Opening of the slot', { exact: true });
  await field.fill('0.38');
  await page.getByLabel('mm', { exact: true }).check();
  assert.equal(await field.inputValue(), '0.38 in', 'what was typed keeps its meaning');
  assert.match(await text(page, '#number'), /^JK-9.652mm-/u);
  await field.fill('3/8');
  assert.equal(await word(page), 'refused', 'a fraction of a millimetre is no size');
  await field.fill('3/8 in');
  assert.match(await text(page, '#number'), /^JK-9.525mm-/u);
});

/** What a refusal leaves: nothing of the variant before. */
async function nothingLeft(page) {
  assert.equal(await word(page), 'refused');
  assert.equal(await page.locator('#sheet svg').count(), 0, 'no drawing');
  assert.equal(await page.locator('#text').textContent(), '', 'no program');
  assert.equal(await page.locator('#print').isDisabled(), true, 'nothing to print');
  assert.equal(await page.locator('#play').isDisabled(), true, 'no path');
  await page.getByRole('tab', { name: 'Files' }).click();
  assert.equal(await page.locator('#panel-files button').count(), 0, 'nothing to download');
  await page.getByRole('tab', { name: 'First piece' }).click();
  assert.equal(await page.locator('#panel-first td').count(), 0, 'no first piece');
  assert.match(await text(page, '#number'), /none/u, 'no number');
  await page.getByRole('tab', { name: 'Program' }).click();
}

journey('a refusal leaves nothing of the old variant, and one click mends it', async (page) => {
  await page.locator('#size-screws').fill('4');
  await nothingLeft(page);
  const remedies = page.locator('.remedies button');
  assert.ok((await remedies.count()) > 0, 'there is something that would do');
  await remedies.first().click();
  assert.notEqual(await word(page), 'refused');
  assert.equal(await page.locator('#sheet svg').count(), 1);
  // What was measured on the rail is not changed at will.
  await page.locator('#size-slot_opening').fill('20');
  assert.match(await remedies.first().innerText(), /^Opening of the slot: 13\.5 mm instead of 20 mm, if it measures so$/u);
  assert.match(await text(page, '#size-slot_opening-message'), /13\.5 mm would do, if it measures so\.$/u);
});

journey('where the core gives up, nothing of the old variant is left either', async (page) => {
  await page.getByRole('tab', { name: 'Files' }).click();
  await page.evaluate(async () => {
    const { Desk } = await import('./barwright.js');
    Desk.prototype.make = () => {
      throw new WebAssembly.RuntimeError('unreachable');
    };
  });
  await page.locator('#size-slot_opening').fill('9.5');
  await nothingLeft(page);
  assert.match(await text(page, '#verdict'), /Load the page again/u);
  assert.match(await page.title(), /^refused/u);
  assert.equal(await page.evaluate(() => document.body.innerText.includes('JK-10mm') || document.body.innerText.includes('rules hold')), false, 'no number, no verdict of before');
  await page.waitForTimeout(500);
});

journey('a remedy by keyboard alone', async (page) => {
  await page.locator('#size-screws').focus();
  await page.keyboard.press('Control+A');
  await page.keyboard.type('4');
  for (let on = 0; on < 80; on++) {
    await page.keyboard.press('Tab');
    if (await page.evaluate(() => document.activeElement?.closest('.remedies') !== null)) break;
  }
  await page.keyboard.press('Enter');
  assert.notEqual(await word(page), 'refused');
});

journey('what cannot be read is told at its size', async (page) => {
  const field = page.getByLabel('Opening of the slot', { exact: true });
  await field.fill('ten');
  await nothingLeft(page);
  assert.equal(await field.getAttribute('aria-invalid'), 'true');
  assert.match(await text(page, '#size-slot_opening-message'), /ten/u);
  await field.fill('400');
  assert.match(await text(page, '#size-slot_opening-message'), /at most 40 mm\. \d[\d.]* mm would do/u);
  assert.equal(await page.locator('#verdict .finding').count(), 1, 'the size alone; what the rules say of it only follows');
  assert.doesNotMatch(await text(page, '#verdict'), /slot_opening|=/u, 'in the words of the page');
  await page.locator('#verdict .finding button').click();
  assert.equal(await page.evaluate(() => document.activeElement.id), 'size-slot_opening');
  await field.fill('10\' 6"');
  assert.match(await text(page, '#size-slot_opening-message'), /^10' 6" \(3200\.4 mm\) is out of range; at most 40 mm\. 13\.5 mm would do/u);
  await field.press('ArrowUp');
  assert.equal(await field.inputValue(), '10\' 6"', 'no step of millimetres is put on feet');
  await field.fill('');
  await field.blur();
  assert.equal(await field.inputValue(), '10 mm', 'an empty size is the usual one');
});

journey('the verdict is said to those who do not see it', async (page) => {
  await page.locator('#size-screws').fill('4');
  await page.waitForFunction(() => document.getElementById('said').textContent.startsWith('Refused.'));
  await page.locator('#size-screws').fill('1');
  await page.waitForFunction(() => document.getElementById('said').textContent.includes('JK-10mm-2xM5'));
});

journey('from a size to its dimension and back, by pointer', async (page) => {
  await page.getByLabel('Opening of the slot', { exact: true }).click();
  const on = () => page.locator('#sheet .on').evaluateAll((nodes) => [...new Set(nodes.map((node) => node.getAttribute('data-value')))]);
  assert.deepEqual(await on(), ['tongue_width']);
  await page.locator('#sheet g[data-value="key_length"] text').first().click();
  assert.deepEqual(await on(), ['key_length']);
  assert.match(await text(page, '#thread'), /Length over all 60 mm\. As far into one rail as into the other\./u, 'what it is, and why');
  assert.ok(await page.locator('.size[data-name=length_per_rail].on').count(), 'the size that it rests on is marked');
  await page.locator('#thread button', { hasText: 'How far the key reaches' }).click();
  assert.equal(await page.evaluate(() => document.activeElement.id), 'size-length_per_rail');
});

journey('from dimension to dimension by keyboard', async (page) => {
  await page.getByRole('button', { name: 'Next size' }).focus();
  const seen = new Set();
  for (let press = 0; press < 6; press++) {
    await page.keyboard.press('Enter');
    seen.add(await text(page, '#thread strong'));
  }
  assert.equal([...seen][0], 'Length over all', 'what is written on the sheet comes first');
  assert.ok(seen.size >= 4, `walks through the sizes: ${[...seen].join(', ')}`);
});

journey('from a line to its motion and feature, and back', async (page) => {
  const listing = page.locator('#listing');
  await listing.focus();
  await page.keyboard.press('End');
  for (let up = 0; up < 10; up++) await page.keyboard.press('ArrowUp');
  assert.match(await text(page, '#line-said'), /Line \d+: .*Tongue · tool 4 · \d+:\d\d/u);
  assert.ok((await page.locator('#sheet .on[data-value=tongue_width]').count()) > 0, 'its sizes are marked on the sheet');
  const clock = await text(page, '#clock');
  await page.getByRole('button', { name: 'Move before' }).click();
  assert.notEqual(await text(page, '#clock'), clock);
  const line = await text(page, '#line-said');
  await page.locator('#time').fill('30');
  assert.notEqual(await text(page, '#line-said'), line, 'scrubbing goes to another line');
  await listing.click({ position: { x: 100, y: 50 } });
  assert.match(await text(page, '#line-said'), /^Line \d+/u);
  // Nothing moves before the first tool is in, which takes its time.
  await page.keyboard.press('Home');
  assert.match(await text(page, '#line-said'), /^Line 1: % .*0:00$/u);
  await page.locator('#time').fill('1');
  assert.match(await text(page, '#line-said'), /^Line \d+: .*M6/u, 'while the tool is changed its line is told');
});

journey('the programs of several setups say which is which', async (page) => {
  await page.getByRole('tab', { name: 'Files' }).click();
  const said = (await page.locator('#panel-files .files li').allInnerTexts()).filter((one) => one.startsWith('program-'));
  assert.equal(said.length, 3);
  said.forEach((one, index) => assert.match(one, new RegExp(`The program of setup ${index + 1}: .+`, 'u')));
  assert.equal(new Set(said.map((one) => one.split(': ')[1])).size, 3, 'each another');
}, { hash: '#spacer-bar/mm' });

journey('the path is played and paused, turned by keys and by pointer', async (page) => {
  const canvas = page.locator('#path');
  const shot = async () => (await canvas.screenshot()).toString('base64');
  const pictures = new Set([await shot()]);
  await canvas.focus();
  await page.keyboard.press('ArrowLeft');
  await page.waitForTimeout(60);
  pictures.add(await shot());
  const box = await canvas.boundingBox();
  await page.mouse.move(box.x + 200, box.y + 200);
  await page.mouse.down();
  await page.mouse.move(box.x + 320, box.y + 160);
  await page.mouse.up();
  await page.waitForTimeout(60);
  pictures.add(await shot());
  await page.getByRole('button', { name: 'From above' }).click();
  await page.waitForTimeout(60);
  pictures.add(await shot());
  assert.equal(pictures.size, 4, 'each of them shows another view');
  const play = page.locator('#play');
  await play.click();
  assert.equal(await play.innerText(), 'Pause');
  await page.waitForTimeout(300);
  await play.click();
  const value = Number(await page.locator('#time').inputValue());
  assert.ok(value > 0, 'time went on');
  await page.waitForTimeout(200);
  assert.equal(Number(await page.locator('#time').inputValue()), value, 'and stands still when paused');
  const twice = await play.evaluate((button) => {
    const { cancelAnimationFrame: cancel, requestAnimationFrame: ask } = window;
    const waiting = new Set();
    window.requestAnimationFrame = (act) => {
      const id = ask((now) => (waiting.delete(id), act(now)));
      return waiting.add(id), id;
    };
    window.cancelAnimationFrame = (id) => (waiting.delete(id), cancel(id));
    button.click();
    const once = waiting.size;
    for (let click = 0; click < 4; click++) button.click();
    const again = waiting.size;
    button.click();
    return { once, again };
  });
  assert.equal(twice.again, twice.once, 'paused and played within one frame, it runs no faster');
});

journey('the path turns under a finger, and tilts and comes closer under two', async (page, context) => {
  const canvas = page.locator('#path');
  await canvas.scrollIntoViewIfNeeded();
  const shot = async () => {
    await page.waitForTimeout(60);
    return (await canvas.screenshot()).toString('base64');
  };
  const session = await context.newCDPSession(page);
  const box = await canvas.boundingBox();
  const place = (id, x, y) => ({ id, x: box.x + x, y: box.y + y });
  /** Fingers put down, moved and lifted: the places of each at the start and at the end. */
  const fingers = async (from, to) => {
    await session.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: from.map(([x, y], id) => place(id, x, y)) });
    for (let step = 1; step <= 8; step++) {
      const at = from.map(([x, y], id) => place(id, x + ((to[id][0] - x) * step) / 8, y + ((to[id][1] - y) * step) / 8));
      await session.send('Input.dispatchTouchEvent', { type: 'touchMove', touchPoints: at });
    }
    await session.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
  };
  const pictures = new Set([await shot()]);
  await fingers([[80, 100]], [[200, 104]]);
  pictures.add(await shot());
  await fingers([[120, 60], [200, 60]], [[120, 140], [200, 140]]);
  pictures.add(await shot());
  await fingers([[140, 120], [180, 120]], [[80, 120], [240, 120]]);
  pictures.add(await shot());
  assert.equal(pictures.size, 4, 'turned, tilted, come closer');
  const before = await page.evaluate(() => scrollY);
  await fingers([[150, 200]], [[150, 60]]);
  await page.waitForTimeout(300);
  assert.ok((await page.evaluate(() => scrollY)) > before, 'the page is scrolled over it all the same');
}, { options: { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true } });

/** Every setup of a family, by its own programs: its button, its path, its lines. */
for (const [family, sizes] of [['tapped-plate', {}], ['clamp-bar', {}], ['spacer-bar', { length: '60', cross_holes: '1', holes: 'tapped', end_holes: 'yes' }]]) {
  const hash = `#${family}/mm?${new URLSearchParams(sizes)}`;
  journey(`each setup of ${family} has its path and its program, by pointer and by keyboard`, async (page) => {
    const theirs = made(family, sizes, 'mm');
    const programs = Object.keys(theirs).filter((name) => name.endsWith('.nc')).sort().map((name) => theirs[name].toString());
    assert.ok(programs.length > 1, 'more than one setup');
    const buttons = page.locator('#runs button');
    assert.equal(await buttons.count(), programs.length);
    const seen = new Set();
    for (const [index, text] of programs.entries()) {
      if (index % 2 === 0) await buttons.nth(index).click();
      else {
        await buttons.nth(index - 1).focus();
        await page.keyboard.press('Tab');
        await page.keyboard.press('Enter');
      }
      assert.equal(await buttons.nth(index).getAttribute('aria-pressed'), 'true');
      assert.equal(await page.evaluate(() => document.activeElement.getAttribute('aria-pressed')), 'true', 'the focus stays on the setup');
      assert.equal(await program(page), text, `setup ${index + 1} has its own program`);
      await page.locator('#listing').focus();
      await page.keyboard.press('End');
      for (let up = 0; up < 12; up++) await page.keyboard.press('ArrowUp');
      assert.match(await page.locator('#line-said').innerText(), /^Line \d+: /u);
      await page.waitForTimeout(60);
      seen.add((await page.locator('#path').screenshot()).toString('base64'));
    }
    assert.equal(seen.size, programs.length, 'each has a path of its own');
  }, { hash });
}

journey('a paper that is turned to later is of this variant', async (page) => {
  await page.getByRole('tab', { name: 'Rules' }).click();
  await page.getByLabel('Opening of the slot', { exact: true }).fill('9.5');
  await page.getByRole('tab', { name: 'Program' }).click();
  const time = await text(page, '#clock');
  assert.match(time, /of \d+:\d\d/u, 'its path is there');
  const other = made('joining-key', { slot_opening: '9.5 mm' }, 'mm');
  assert.equal(await program(page), other['program-1.nc'].toString());
});

journey('where proving takes long, what is typed meanwhile is worked out together, and nothing old is offered', async (page) => {
  await page.evaluate(async () => {
    globalThis.makes = [];
    globalThis.here = 0;
    const post = Worker.prototype.postMessage;
    Worker.prototype.postMessage = function (message) {
      if (message.act === 'make') globalThis.makes.push(message.asked.order.sizes.corner);
      return post.call(this, message);
    };
    const { Desk } = await import('./barwright.js');
    const make = Desk.prototype.make;
    Desk.prototype.make = function (order) {
      globalThis.here += 1;
      return make.call(this, order);
    };
  });
  const before = await page.evaluate(() => {
    const field = document.getElementById('size-corner');
    for (const text of ['1', '1.', '1.5', '2', '4']) {
      field.value = text;
      field.dispatchEvent(new InputEvent('input', { bubbles: true }));
    }
    return { makes: globalThis.makes.length, inert: [...document.querySelectorAll('.papers, .drawing')].every((part) => part.inert), busy: document.body.dataset.busy };
  });
  assert.deepEqual(before, { makes: 1, inert: true, busy: 'yes' });
  await page.waitForFunction(() => document.body.dataset.busy === 'no');
  assert.deepEqual(await page.evaluate(() => [globalThis.makes, globalThis.here]), [['1', '4'], 0], 'the first at once, then all that was typed meanwhile once, and beside the page');
  assert.equal(await page.locator('[inert]').count(), 0);
  const theirs = made('tapped-plate', { length: '200mm', width: '100mm', pitch: '12mm', corner: '4' }, 'mm');
  assert.equal(await program(page), theirs['program-1.nc'].toString());
  assert.match(await text(page, '#clock'), /of \d+:\d\d/u, 'its path is there');
  await page.getByRole('tab', { name: 'Files' }).click();
  for (const name of ['drawing.pdf', 'program-3.nc', 'part.json']) {
    const file = await download(page, () => page.locator('#panel-files').getByRole('button', { name, exact: true }).click());
    assert.ok(file.bytes.equals(theirs[name]), `${name} is the same`);
  }
  // A file that was asked for, and another size before it came: it is given to nobody.
  await page.evaluate(() => {
    globalThis.given = 0;
    const click = HTMLAnchorElement.prototype.click;
    HTMLAnchorElement.prototype.click = function () {
      globalThis.given += 1;
      return click.call(this);
    };
    document.querySelector('#panel-files li button').click();
    const field = document.getElementById('size-corner');
    field.value = '5';
    field.dispatchEvent(new InputEvent('input', { bubbles: true }));
  });
  await page.waitForFunction(() => document.body.dataset.busy === 'no');
  assert.equal(await page.evaluate(() => globalThis.given), 0);
  // What is refused there leaves nothing either; another family meanwhile is the one that stays.
  await page.locator('#size-corner').fill('x');
  await page.waitForFunction(() => document.body.dataset.busy === 'no');
  await nothingLeft(page);
  await page.locator('#size-corner').fill('3');
  await page.locator('#family').selectOption('joining-key');
  await page.waitForTimeout(800);
  assert.match(await text(page, '#number'), /^JK-10mm/u);
  assert.equal(await page.locator('[inert]').count(), 0);
}, { hash: '#tapped-plate/mm?length=200mm&width=100mm&pitch=12mm' });

test('where the browser lets the page have no worker, it is worked out on the page', async () => {
  const context = await stand.chrome.newContext({ viewport: { width: 1280, height: 900 }, serviceWorkers: 'block' });
  await context.route('**/worker.js', (route) => route.abort());
  const page = await open(context, `${stand.server.address}#tapped-plate/mm`);
  for (const corner of ['4', '5']) {
    await page.locator('#size-corner').fill(corner);
    await page.waitForFunction(() => document.body.dataset.busy === 'no');
    assert.equal(await program(page), made('tapped-plate', { corner }, 'mm')['program-1.nc'].toString());
  }
  const number = await text(page, '#number');
  await page.getByLabel('inch', { exact: true }).check();
  await page.waitForFunction(() => document.body.dataset.busy === 'no');
  assert.notEqual(await text(page, '#number'), number, 'another unit is another variant here');
  assert.equal(await page.locator('[inert]').count(), 0);
  await context.close();
});

journey('a drawing of several sheets is shown whole, and given whole', async (page) => {
  assert.ok((await page.locator('#sheet svg').count()) > 1, 'more than one sheet');
  await page.getByRole('button', { name: 'Sheet 2' }).click();
  assert.ok((await page.locator('#sheet').evaluate((node) => node.scrollTop)) > 100, 'the second is in view');
  await page.getByRole('tab', { name: 'Files' }).click();
  const second = await download(page, () => page.locator('#panel-files').getByRole('button', { name: 'drawing-2.svg', exact: true }).click());
  assert.ok(second.bytes.equals(made('tapped-plate', MANY, 'mm')['drawing-2.svg']), 'the same bytes');
}, { hash: `#tapped-plate/mm?${new URLSearchParams(MANY)}` });

journey('numbers as the visitor writes them; drawings, programs and files keep the point', async (page) => {
  const field = page.getByLabel('Opening of the slot', { exact: true });
  await field.focus();
  await page.keyboard.press('ArrowDown');
  assert.equal(await field.inputValue(), '9,9 mm');
  assert.match(await text(page, '#number'), /^JK-9.9mm/u);
  await page.getByRole('tab', { name: 'First piece' }).click();
  assert.match(await text(page, '#panel-first'), /\d,\d+/u);
  assert.doesNotMatch(await text(page, '#panel-first table'), /\d\.\d/u);
  assert.doesNotMatch(await page.locator('#sheet').textContent(), /\d,\d/u, 'the sheet is one for all');
  await page.waitForFunction(() => location.hash.includes('slot_opening'));
  assert.match(await page.evaluate(() => decodeURIComponent(location.hash)), /slot_opening=9,9/u);
  await field.fill('10.2');
  assert.match(await text(page, '#number'), /^JK-10.2mm/u, 'the point is read too');
}, { options: { locale: 'de-DE' } });

journey('nothing moves by itself', async (page) => {
  const still = async () => [await page.evaluate(() => document.getAnimations().length), (await page.screenshot()).toString('base64')];
  const before = await still();
  await page.waitForTimeout(500);
  assert.deepEqual(await still(), before);
  assert.equal(before[0], 0);
  await page.locator('#size-screws').fill('4');
  assert.equal(await page.evaluate(() => document.getAnimations().length), 0);
}, { options: { reducedMotion: 'reduce' } });

journey('tabs by arrow keys', async (page) => {
  await page.getByRole('tab', { name: 'Program' }).focus();
  await page.keyboard.press('ArrowRight');
  assert.match(await text(page, '#panel-first'), /Width of the tongue/u);
  await page.keyboard.press('ArrowRight');
  await page.locator('#panel-follows summary').first().click();
  assert.match(await text(page, '#panel-follows'), /Slides between the lips/u);
  await page.getByRole('tab', { name: 'Rules' }).click();
  assert.match(await text(page, '#panel-rules'), /End distance/u);
});

journey('a rule that does not apply is told without numbers', async (page) => {
  await page.getByRole('tab', { name: 'Rules' }).click();
  assert.match(await text(page, '#panel-rules [data-rule=pin-wall]'), /^–\s+Pin wall\s+Does not apply: pins = no\s/u);
  assert.match(await text(page, '#panel-rules tbody tr:last-child'), /^–/u, 'below those that say something');
  assert.match(await text(page, '#sum'), /6 of 6 rules hold/u, 'and is not counted');
  await page.getByLabel('Dowel pins beside the screws', { exact: true }).selectOption('yes');
  assert.match(await text(page, '#panel-rules [data-rule=pin-wall]'), /holds\s+Pin wall\s+6 mm ≥ 3 mm\s/u);
}, { hash: '#spacer-bar/mm' });

journey('downloads are those of the command line', async (page) => {
  const theirs = made('joining-key', {}, 'mm');
  await page.getByRole('tab', { name: 'Files' }).click();
  for (const name of ['drawing.svg', 'drawing.pdf', 'program-1.nc', 'part.json', 'first-piece.csv']) {
    const file = await download(page, () => page.locator('#panel-files').getByRole('button', { name, exact: true }).click());
    assert.ok(file.bytes.equals(theirs[name]), `${name} is the same`);
  }
  const archive = await download(page, () => page.locator('#archive').click());
  assert.match(archive.name, /^JK-10mm-4xM5-60mm-brass-c36000-[0-9a-f]{8}\.zip$/u);
  const again = await download(page, () => page.locator('#archive').click());
  assert.ok(archive.bytes.equals(again.bytes), 'there is no date in it');
});

journey('the papers of a batch are those of the command line, and are fetched when they are asked for', async (page) => {
  const theirs = made('joining-key', {}, 'mm', ['quantity=50', 'spares=4']);
  const fetched = [];
  page.on('request', (request) => fetched.push(request.url()));
  await page.getByRole('tab', { name: 'Files' }).click();
  await page.getByLabel('Pieces').fill('50');
  await page.getByLabel('Spares').fill('4');
  assert.ok(!fetched.some((address) => address.includes('orders')), 'not before');
  const packet = await download(page, () => page.getByRole('button', { name: 'Papers of the batch', exact: true }).click());
  assert.match(packet.name, /^JK-10mm-4xM5-60mm-brass-c36000-[0-9a-f]{8}-50-and-4-packet\.pdf$/u);
  assert.ok(packet.bytes.equals(theirs['packet.pdf']), 'the same bytes');
  assert.equal(await text(page, '#batch-said'), 'The papers are there.');
  const archive = await download(page, () => page.getByRole('button', { name: 'Papers, programs and tables as one archive' }).click());
  for (const name of ['cut-list.csv', 'loads.csv', 'part.json']) {
    assert.ok(archive.bytes.includes(theirs[name]), `${name} is in it`);
  }
  // What cannot be ordered is refused with what works, and gives nothing.
  await page.getByLabel('Pieces').fill('0');
  await page.getByLabel('Pieces').press('Enter');
  await page.waitForFunction(() => document.getElementById('batch-said').textContent.includes('The least is 1 piece.'));
  assert.match(await text(page, '#batch-said'), /refused A quantity of 0 makes nothing/u);
  // The next variant has its own.
  await page.getByLabel('Opening of the slot', { exact: true }).fill('9.5');
  await page.waitForFunction(() => document.getElementById('number').textContent.startsWith('JK-9.5mm'));
  assert.equal(await text(page, '#batch-said'), '');
});

journey('on a phone the verdict stays in sight among the sizes, and leads to the sheet', async (page) => {
  await page.locator('#size-screws').fill('4');
  await page.locator('.size input').last().focus();
  await page.keyboard.press('Shift+Tab');
  const sum = page.locator('#sum');
  assert.match(await sum.innerText(), /refused/u);
  const box = await sum.boundingBox();
  assert.ok(box.y >= 0 && box.y < 60, `in sight at ${box.y}`);
  for (let back = 0; back < 8; back++) {
    const field = await page.evaluate(() => document.activeElement.getBoundingClientRect().top);
    assert.ok(field >= box.y + box.height, 'what has the focus is not under it');
    await page.keyboard.press('Shift+Tab');
  }
  await page.getByRole('button', { name: 'See what would do' }).click();
  assert.equal(await page.evaluate(() => document.activeElement.id), 'sheet');
  assert.ok((await page.locator('.no-sheet').boundingBox()).y > 0, 'from its beginning');
  assert.ok((await page.locator('.remedies button').first().boundingBox()).y < 740, 'what would do is on the screen');
}, { options: { viewport: { width: 360, height: 740 }, hasTouch: true } });

journey('own family and own shop, which stay here', async (page) => {
  const asked = [];
  // A browser may look for the page's icon again; nothing else, and nothing sent.
  page.on('request', (request) => !(request.url().endsWith('/icon.svg') && request.method() === 'GET') && asked.push(request.url()));
  const family = readFileSync(join(root, 'families/joining-key.yaml'), 'utf8').replace('title: Joining key', 'title: <b>My key</b>');
  await page.locator('#own').setInputFiles({ name: 'mine.yaml', mimeType: 'text/yaml', buffer: Buffer.from(family) });
  await page.waitForFunction(() => document.getElementById('own-said').textContent.includes('mine.yaml is open'));
  assert.equal(await page.locator('#family').inputValue(), 'mine.yaml');
  assert.match(await page.title(), /<b>My key<\/b>/u);
  assert.equal(await page.locator('#sheet b, header b').count(), 0);
  const bad = family.replace('as: slot_opening', 'as: slot_opening + 3 kg');
  await page.locator('#own').setInputFiles({ name: 'bad.yaml', mimeType: 'text/yaml', buffer: Buffer.from(bad) });
  await page.waitForFunction(() => document.getElementById('own-said').textContent.includes('bad.yaml is refused'));
  assert.match(await text(page, '#own-findings'), /bad.yaml, line \d+, column \d+/u);
  const vise = readFileSync(join(root, 'families/shop/shop.yaml'), 'utf8').replace('owner: Heddle Row Workshop', 'owner: Shed Street Workshop');
  await page.locator('#own').setInputFiles({ name: 'shop.yaml', mimeType: 'text/yaml', buffer: Buffer.from(vise) });
  await page.waitForFunction(() => document.getElementById('text').textContent.includes('SHED STREET WORKSHOP'));
  assert.match(await text(page, '#shop'), /Shed Street Workshop, by your own shop\.yaml/u, 'whose machine it is for is told');
  assert.deepEqual(asked, [], 'nothing was asked of any server');
});

journey('files are dropped anywhere; what is none is said to be none', async (page) => {
  const family = readFileSync(join(root, 'families/clamp-bar.yaml'), 'utf8').replace('title: Clamp bar', 'title: My clamp');
  const shop = readFileSync(join(root, 'families/shop/shop.yaml'), 'utf8').replace('owner: Heddle Row Workshop', 'owner: Shed Street Workshop');
  await drop(page, [['mine.yaml', family], ['shop.yaml', shop]]);
  await page.waitForFunction(() => document.getElementById('own-said').textContent.includes('mine.yaml is open'));
  assert.match(await page.title(), /My clamp/u);
  assert.match(await program(page), /SHED STREET WORKSHOP/u);
  await drop(page, [['picture.png', 'x']]);
  await page.waitForFunction(() => document.getElementById('own-said').textContent.includes('picture.png is no YAML file'));
  assert.match(await page.title(), /My clamp/u, 'what lay there stays');
  await drop(page, [['bad.yaml', `family: ${'['.repeat(5000)}`], ['mine.yaml', family]]);
  await page.waitForFunction(() => document.getElementById('own-said').textContent.includes('bad.yaml is refused'));
  assert.ok((await page.locator('#own-findings .finding').count()) > 0, 'the reason stays though another family is good');
  await page.getByRole('button', { name: 'Take the shop that the page came with' }).click();
  assert.match(await program(page), /HEDDLE ROW WORKSHOP/u);
});

journey('what is said of a line is said of the program that stands there', async (page) => {
  await page.locator('#listing').focus();
  for (let press = 0; press < 30; press++) await page.keyboard.press('ArrowDown');
  assert.match(await text(page, '#line-said'), /^Line 30: /u);
  const says = async () => {
    const [, line, words] = /^Line (\d+): (.*?)(?: · |$)/u.exec(await text(page, '#line-said')) ?? [];
    return line === undefined || words === (await program(page)).split('\n')[line - 1];
  };
  assert.ok(await says());
  await page.locator('#size-slot_opening').fill('8.7');
  assert.ok(await says());
  await page.locator('#family').selectOption('tapped-plate');
  await page.waitForFunction(() => document.title.includes('Tapped plate'));
  assert.ok(await says(), await text(page, '#line-said'));
});

journey('a fit without a unit keeps its meaning when the unit turns', async (page) => {
  await page.locator('#size-tongue_fit').fill('0.05 to 0.10');
  const before = await text(page, '#digest');
  await page.locator('input[name=unit][value=in]').check();
  assert.equal(await page.locator('#size-tongue_fit').inputValue(), '0.05 to 0.10 mm');
  await page.locator('input[name=unit][value=mm]').check();
  assert.equal(await text(page, '#digest'), before);
});

journey('Next size says how large it is', async (page) => {
  for (let press = 0; press < 6; press++) {
    await page.locator('#next').click();
    assert.match(await text(page, '#thread'), /\d/u);
  }
});

journey('a control that is none is refused, and the one before it stays', async (page) => {
  await drop(page, [['control-mine.yaml', 'name: mine\n']]);
  await page.waitForFunction(() => document.querySelector('#control option[value=mine]'));
  const before = await program(page);
  await page.locator('#control').selectOption('mine');
  assert.match(await text(page, '#own-said'), /‘mine’ is refused/u);
  assert.ok((await page.locator('#own-findings .finding').count()) > 0, 'the reason is told');
  assert.equal(await page.locator('#control').inputValue(), 'canned', 'what is shown is what the program is for');
  assert.equal(await program(page), before);
  await page.locator('#control').selectOption('absolute');
  assert.notEqual(await program(page), before);
});

journey('works without a network once loaded', async (page, context) => {
  await page.evaluate(() => navigator.serviceWorker.ready);
  await page.waitForFunction(() => document.getElementById('off').textContent.includes('without a network'));
  await context.setOffline(true);
  await page.reload();
  await page.waitForFunction(() => document.body.dataset.ready === 'yes');
  assert.match(await text(page, '#number'), /^JK-10mm/u);
  await context.setOffline(false);
});
