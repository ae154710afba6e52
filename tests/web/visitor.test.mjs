// The element in the hands of a visitor and of whoever writes the shop's page: what must not be lost, sent or left unsaid.

import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { test } from 'node:test';
import { FORM, SCRIPT, field, journeys, ready, result, visit } from './element.mjs';
import { root } from './house.mjs';

const { at, journey } = journeys();
const order = async (page) => {
  await page.getByRole('button', { name: 'Order' }).click();
  await page.waitForURL(/order/u);
  return Object.fromEntries(at.server.sent);
};
const say = (page, name) => page.evaluate((name) => document.querySelector('barwright-part').shadowRoot.getElementById(name).textContent, name);
const within = (page) => page.evaluate(() => document.querySelector('barwright-part').shadowRoot.activeElement?.id ?? document.activeElement.tagName);
const part = (page, act, more) => page.evaluate(({ act, more }) => new Function('part', 'more', act)(document.querySelector('barwright-part'), more), { act, more });

journey('the other unit never makes another part of one that somebody touched', FORM, async (page) => {
  await field(page, 'channel_depth').fill('12');
  const before = (await result(page)).number;
  const sizes = async () => (await result(page)).sizes;
  const told = await sizes();
  assert.match(before, /^JK-10mm-4xM5-60mm/u);
  await page.locator('#units').selectOption('in');
  // 10 mm, 12 mm and 30 mm in inches.
  const near = (text, mm) => assert.ok(/ in$/u.test(text) && Math.abs(parseFloat(text) * 25.4 - mm) < 0.002, `${text} is ${mm} mm`);
  const inch = await sizes();
  for (const [name, mm] of [['slot_opening', 10], ['channel_depth', 12], ['length_per_rail', 30], ['lip_thickness', 3], ['channel_width', 16.5], ['step', 0.5]]) near(inch[name], mm);
  assert.equal(inch.screw, 'M5');
  assert.equal(await field(page, 'channel_depth').inputValue(), '12 mm');
  await page.locator('#units').selectOption('mm');
  assert.deepEqual(await sizes(), told, 'and back');
  await page.locator('#units').selectOption('in');
  await field(page, 'length_per_rail').fill('1 ⅜');
  await page.locator('#units').selectOption('mm');
  assert.equal((await sizes()).length_per_rail, '34.925 mm', 'a fraction is a number too');
  // Nobody touched it: what is usual in inches.
  await page.evaluate(() => document.querySelector('form').reset());
  await page.locator('#units').selectOption('in');
  assert.match((await result(page)).number, /^JK-0.375in-4x10-32/u);
});

journey('nor where the sizes came by attribute, property or the attribute of the unit', `<form><barwright-part name="key" value="channel_depth=12" fixed="length_per_rail=32"></barwright-part></form>${SCRIPT}`, async (page) => {
  const holds = async (why) => {
    const { sizes } = await result(page);
    for (const [name, mm] of [['slot_opening', 10], ['channel_depth', 12], ['length_per_rail', 32]]) assert.ok(Math.abs(parseFloat(sizes[name]) * (sizes[name].endsWith('in') ? 25.4 : 1) - mm) < 0.002, `${why}: ${name} ${sizes[name]}`);
    assert.equal(sizes.screw, 'M5', why);
  };
  await holds('as it came');
  for (const [act, why] of [["part.units = 'in'", 'property'], ["part.units = 'mm'", 'and back'], ["part.setAttribute('units', 'in')", 'attribute'], ["part.removeAttribute('units')", 'and back']]) {
    await part(page, act);
    await holds(why);
  }
  await part(page, "part.sizes = { channel_depth: 12 }; part.units = 'in'");
  await holds('sizes by property');
  await page.evaluate(() => document.querySelector('form').reset());
  await holds('reset');
  assert.equal(await page.locator('#units').inputValue(), 'mm');
});

journey('a family that there is starts it again, however it failed', FORM.replace('name="key"', 'name="key" family="nonesuch"'), async (page) => {
  await page.waitForFunction(() => document.querySelector('barwright-part').matches(':state(failed)'));
  assert.deepEqual(await part(page, 'return [part.result, part.checkValidity()]'), [null, true], 'the shop’s own field carries the order');
  await part(page, "part.family = 'joining-key'");
  await ready(page);
  assert.match((await result(page)).number, /^JK-10mm/u);
  const error = await part(page, "let told = ''; part.addEventListener('barwright-error', (event) => (told = event.detail.message), { once: true }); part.family = 'nonesuch'; return told");
  assert.equal(error, 'The sizes cannot be worked out here. There is no family nonesuch.', 'the true reason, and no other');
  await part(page, 'return part.start()');
  assert.equal(await part(page, "return part.matches(':state(failed)')"), true);
  await part(page, "const form = part.form; part.remove(); part.setAttribute('family', 'spacer-bar'); form.prepend(part)");
  await ready(page);
  assert.match((await result(page)).number, /^SB-/u);
  const sent = await order(page);
  assert.ok(sent.key && !('slot' in sent), 'the order has the part');
}, { wait: false });

journey('without a field of the shop’s own nothing is sent without the part', `<form action="/order"><barwright-part name="key" family="nonesuch"></barwright-part><button>Order</button></form>${SCRIPT}`, async (page) => {
  await page.waitForFunction(() => document.querySelector('barwright-part').matches(':state(failed)'));
  assert.match(await part(page, 'return part.validationMessage'), /cannot be worked out here.*ask the shop/u);
  await page.getByRole('button', { name: 'Order' }).click();
  await page.waitForTimeout(200);
  assert.equal(at.server.sent, null, 'not submitted');
  assert.equal(await page.getByText('The sizes cannot be worked out here.').isVisible(), true);
  await part(page, "part.innerHTML === '' && part.append(Object.assign(document.createElement('input'), { name: 'note' }))");
  await page.waitForFunction(() => document.querySelector('barwright-part').checkValidity());
  await part(page, "part.replaceChildren(); part.family = 'joining-key'");
  await ready(page);
  assert.ok((await order(page)).key);
}, { wait: false });

journey('a module that does not come is told as that', FORM, async (page) => {
  await page.waitForFunction(() => document.querySelector('barwright-part').matches(':state(failed)'));
  const told = await part(page, "return new Promise((done) => { part.addEventListener('barwright-error', (event) => done(event.detail.message)); part.start(); })");
  assert.match(told, /The server must send element\.js and element_bg\.wasm\.$/u);
  assert.doesNotMatch(told, /policy/u);
}, { wait: false, silent: false, before: (context) => context.route('**/*.wasm', (route) => route.abort()) });

journey('a refusal is told where it was typed, and leads there', FORM, async (page) => {
  await field(page, 'slot_opening').fill('20');
  assert.equal(await field(page, 'slot_opening').getAttribute('aria-invalid'), 'true');
  const message = page.locator('#size-slot_opening-message');
  assert.equal(await message.textContent(), 'Refused as it stands; 13.5 mm would do – if it measures so.', 'a slot is measured, not chosen');
  const [line, typed] = [await message.boundingBox(), await field(page, 'slot_opening').boundingBox()];
  assert.ok(line.y - (typed.y + typed.height) < 8, 'right under the field');
  await page.waitForFunction(() => /refused\. Pushed to one side/u.test(document.querySelector('barwright-part').shadowRoot.getElementById('said').textContent));
  assert.equal(await say(page, 'said'), 'These sizes are refused. Pushed to one side, a shoulder lies only -2.25 mm under its lip; 1 mm is the least. Take one that would do.');
  await page.getByRole('button', { name: 'Order' }).click();
  assert.equal(await within(page), 'size-slot_opening');
  // What was typed last, of those that a change of would do.
  await field(page, 'slot_opening').fill('10');
  await field(page, 'screws').fill('4');
  await page.getByRole('button', { name: 'Order' }).click();
  assert.equal(await within(page), 'size-screws');
  await field(page, 'screws').fill('2');
  assert.equal(await page.locator('[aria-invalid], [autofocus]').count(), 0, 'nothing is left of it');
  // What is wrong by itself comes before what would do.
  await field(page, 'side_play').fill('many');
  await field(page, 'screws').fill('4');
  await page.getByRole('button', { name: 'Order' }).click();
  assert.equal(await within(page), 'size-side_play');
  assert.equal(at.server.sent, null);
  await page.getByLabel('Pieces').focus();
  await part(page, 'const form = part.form; part.remove(); form.prepend(part)');
  assert.equal(await within(page), 'INPUT', 'put elsewhere it takes no focus');
}, { options: { viewport: { width: 360, height: 740 } } });

journey('where no size that can be changed would do it says so', `<form><barwright-part name="key" fixed="slot_opening=20" shown="screws"></barwright-part></form>${SCRIPT}`, async (page) => {
  await page.waitForFunction(() => document.querySelector('barwright-part').matches(':state(invalid)'));
  const told = await part(page, 'return part.validationMessage');
  assert.match(told, /^These sizes are refused\. Pushed to one side/u);
  assert.match(told, /No single size here would do by itself: change several, or ask the shop\.$/u);
  assert.doesNotMatch(told, /Take one/u);
  assert.equal(await page.locator('#findings li').count(), 0);
  assert.match(await say(page, 'findings'), /ask the shop/u);
}, { wait: false });

journey('what a remedy measures comes last, and says so', `<div lang="en">${FORM}</div>`, async (page) => {
  await page.evaluate(async () => {
    const { Desk } = await import('/part/element.js');
    const make = Desk.prototype.make;
    Desk.prototype.make = function (order) {
      const told = JSON.parse(make.call(this, order));
      if (told.remedies[0]) told.remedies[0].measured = true;
      return JSON.stringify(told);
    };
  });
  await field(page, 'screws').fill('4');
  const labels = () => page.locator('#findings li button').allTextContents();
  const [first, last] = await labels();
  assert.doesNotMatch(first, /measures/u);
  assert.match(last, /: 53 mm – if it measures so$/u);
  assert.equal(await say(page, 'size-length_per_rail-message'), 'Refused as it stands; 53 mm would do – if it measures so.');
  await page.evaluate(() => document.querySelector('[lang]').setAttribute('lang', 'de'));
  await part(page, "part.setAttribute('lang', 'de')");
  await page.getByText('Teilenummer').waitFor();
  assert.match((await labels()).at(-1), /: 53 mm – wenn es so gemessen ist$/u);
});

journey('each size tells its range and how to choose it', FORM, async (page) => {
  assert.equal(await say(page, 'size-slot_opening-limits'), '4 mm to 40 mm');
  const help = page.getByText('Measured between the lips with a caliper');
  assert.equal(await help.isVisible(), false, 'it takes no room unasked');
  await page.locator('summary', { has: page.locator('#size-slot_opening-limits') }).click();
  assert.equal(await help.isVisible(), true);
  assert.equal(await page.locator('summary', { has: page.locator('#size-tongue_fit-limits') }).count(), 1, 'also of a size without a range');
  assert.equal(await page.locator('details', { has: page.locator('#size-screws-limits') }).count(), 0, 'none where there is nothing to tell');
  assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), 360);
}, { options: { viewport: { width: 360, height: 740 } } });

journey('names that nothing answers to are told once; commas part what is offered', `<form><barwright-part name="key" fixed="materal=steel" shown="slot-opening, screws" offer="drawing, print" units="inch"></barwright-part></form>${SCRIPT}`, async (page) => {
  assert.deepEqual(await page.locator('[data-offer]').evaluateAll((list) => list.map((one) => one.dataset.offer)), ['print']);
  assert.equal(await page.locator('#drawing svg').count(), 1);
  await part(page, "part.shown = 'slot-opening screws channel_width'");
  assert.equal(await field(page, 'channel_width').count(), 1);
}, { warned: ['fixed has “materal”', 'shown has “slot-opening”', 'units has “inch”'].map((text) => `warning: barwright-part: ${text}`) });

journey('attributes are properties', FORM, async (page) => {
  await part(page, "part.fixed = 'screw=M4'; part.shown = 'slot_opening'; part.offer = 'drawing'; part.loading = 'eager'");
  assert.deepEqual(await part(page, "return ['fixed', 'shown', 'offer', 'loading'].map((name) => [part.getAttribute(name), part[name]]).flat()"), ['screw=M4', 'screw=M4', 'slot_opening', 'slot_opening', 'drawing', 'drawing', 'eager', 'eager']);
  assert.match((await result(page)).number, /xM4-/u);
  assert.equal(await page.locator('[data-offer]').count(), 0);
  await part(page, 'part.fixed = part.shown = part.offer = null');
  assert.deepEqual(await part(page, "return [part.hasAttribute('fixed'), part.shown, part.offer]"), [false, '', '']);
  assert.equal(await page.locator('[data-offer]').count(), 5);
});

journey('whoever types keeps their place', FORM, async (page) => {
  await page.locator('#units').focus();
  await page.keyboard.press('ArrowDown');
  assert.equal(await part(page, 'return part.units'), 'in');
  assert.equal(await within(page), 'units');
  await field(page, 'slot_opening').fill('9.75 mm');
  await page.keyboard.press('Home');
  await page.keyboard.press('ArrowRight');
  for (const act of ["part.setAttribute('fixed', 'screw=M6')", "part.setAttribute('offer', 'drawing')", "part.setAttribute('lang', 'de')", "part.setAttribute('units', 'in')", "part.setAttribute('name', 'other')", "part.removeAttribute('shown')"]) {
    await part(page, act);
    assert.equal(await within(page), 'size-slot_opening', act);
  }
  await page.keyboard.type('1');
  assert.equal(await field(page, 'slot_opening').inputValue(), '91.75 mm', 'and the caret its own');
  await part(page, "part.setAttribute('value', 'slot_opening=9 mm')");
  assert.equal(await within(page), 'size-slot_opening');
  assert.equal(await field(page, 'slot_opening').inputValue(), '9 mm');
});

journey('arrows are a change when the field is left, Enter presses the default button', `<form action="/order"><input type="hidden" name="a" value="b"><button type="button" name="no" value="no">No</button><barwright-part name="key"><button>Of the fallback</button></barwright-part><button name="kind" value="offer">Order</button><button name="kind" value="other">Other</button></form>${SCRIPT}`, async (page) => {
  await page.evaluate(() => {
    globalThis.told = [];
    for (const kind of ['input', 'change', 'submit']) document.addEventListener(kind, (event) => globalThis.told.push(kind));
  });
  const told = () => page.evaluate(() => globalThis.told.splice(0).join(' '));
  await field(page, 'slot_opening').focus();
  await page.keyboard.press('ArrowUp');
  await page.keyboard.press('ArrowUp');
  await page.keyboard.press('Tab');
  assert.equal(await told(), 'input input change');
  await field(page, 'slot_opening').focus();
  await page.keyboard.press('Tab');
  assert.equal(await told(), '', 'nothing was changed');
  await field(page, 'slot_opening').focus();
  await page.keyboard.press('ArrowDown');
  await page.keyboard.type('0');
  await page.keyboard.press('Backspace');
  await field(page, 'screws').focus();
  assert.equal(await told(), 'input input input change', 'one change');
  await field(page, 'slot_opening').fill('9.5');
  await page.evaluate(() => document.addEventListener('submit', () => sessionStorage.setItem('told', globalThis.told.join(' '))));
  await field(page, 'slot_opening').press('Enter');
  await page.waitForURL(/order/u);
  assert.equal(await page.evaluate(() => sessionStorage.getItem('told')), 'input change submit');
  assert.equal(at.server.sent.get('kind'), 'offer', 'as if it had been pressed');
  assert.match(at.server.sent.get('key'), /^JK-9.5mm/u);
});

journey('the shop has a verdict of its own', FORM, async (page) => {
  await part(page, "part.setCustomValidity('Sold out.')");
  assert.deepEqual(await part(page, 'return [part.checkValidity(), part.validity.customError, part.validationMessage]'), [false, true, 'Sold out.']);
  await field(page, 'slot_opening').fill('9.5');
  assert.equal(await part(page, 'return part.validationMessage'), 'Sold out.', 'it stays');
  await field(page, 'screws').fill('4');
  await part(page, "part.setCustomValidity('')");
  assert.match(await part(page, 'return part.validationMessage'), /refused/u, 'a refusal is not the shop’s to lift');
  await field(page, 'screws').fill('2');
  assert.equal(await part(page, 'return part.checkValidity()'), true);
});

const SLOW = `<form action="/order"><barwright-part role="group" aria-label="The key" name="key" family="joining-key"><label>Slot <input name="slot" data-size="slot_opening"></label><label>Screws <select name="screws"><option>2</option><option>4</option></select></label><label>Note <input name="note" value="as it came"></label></barwright-part><button>Order</button></form>${SCRIPT}`;
let come = () => {};
const slowly = (context) => context.route('**/element_bg.wasm', async (route) => {
  await new Promise((done) => (come = done));
  await route.continue();
});

journey('while it loads it says so, and takes over what was typed and the place of whoever types', SLOW, async (page) => {
  await page.waitForFunction(() => document.querySelector('barwright-part').matches(':state(loading)'));
  assert.equal(await page.getByText('The sizes are being fetched.').isVisible(), true);
  const session = await page.context().newCDPSession(page);
  const busy = async () => (await session.send('Accessibility.getFullAXTree')).nodes.some((node) => node.properties?.some((one) => one.name === 'busy' && one.value.value));
  assert.equal(await busy(), true);
  await page.getByLabel('Slot').fill('9,5');
  come();
  await ready(page);
  assert.equal(await within(page), 'size-slot_opening');
  await page.keyboard.type(' mm');
  assert.equal(await field(page, 'slot_opening').inputValue(), '9,5 mm');
  assert.match((await result(page)).number, /^JK-9.5mm-4x/u, 'what was not touched is not taken');
  assert.equal(await busy(), false);
  assert.deepEqual(Object.keys(await order(page)).sort(), ['key', 'key.digest', 'key.link', 'key.sizes']);
}, { wait: false, before: slowly });

journey('what is typed into another field of the shop’s own is typed nowhere else', SLOW, async (page) => {
  await page.waitForFunction(() => document.querySelector('barwright-part').matches(':state(loading)'));
  await page.getByLabel('Note').fill('in');
  come();
  await ready(page);
  assert.equal(await page.evaluate(() => document.querySelector('barwright-part').shadowRoot.activeElement?.localName), 'h2', 'the place is kept');
  await page.keyboard.type('in');
  assert.equal(await part(page, 'return part.units + part.value'), 'mm');
}, { wait: false, before: slowly });

test('where its script is missing its place is given up', async () => {
  const context = await at.chrome.newContext({ viewport: { width: 1280, height: 900 } });
  // As the read-me advises.
  const rules = readFileSync(join(root, 'web/part/README.md'), 'utf8').match(/ {4}barwright-part \{ display[\s\S]*?\n\n/u)[0];
  at.server.pages = { '/': `<style>${rules}</style><form><barwright-part><input name="slot"></barwright-part></form><script type="module" src="/part/nothing.js"></script>` };
  at.server.policy = '';
  const page = await visit(context, `${at.server.address}/`);
  const high = () => page.evaluate(() => document.querySelector('barwright-part').getBoundingClientRect().height);
  assert.ok((await high()) >= 700, 'kept for what may come');
  await page.evaluate(() => document.getAnimations().forEach((one) => one.finish()));
  assert.ok((await high()) < 100, 'and given up');
  await page.evaluate(() => import('/part/barwright-part.js').then(() => (document.querySelector('barwright-part').family = 'nonesuch')).then(() => document.querySelector('barwright-part').start()));
  assert.ok((await high()) < 100, 'as where it failed');
  await context.close();
});

journey('mass in the unit of the drawing, files by number and digest', FORM.replace('name="key"', 'name="key" units="in"'), async (page) => {
  const drawn = await page.evaluate(() => document.querySelector('barwright-part').shadowRoot.querySelector('#drawing svg').textContent.match(/([\d.]+) lb/u)[1]);
  assert.equal(parseFloat(await say(page, 'mass')), parseFloat(drawn));
  assert.match(await say(page, 'mass'), / lb$/u);
  const { number, digest } = await result(page);
  assert.equal(await say(page, 'numberOf'), `${number}digest ${digest}`);
  const name = async (what) => {
    const [got] = await Promise.all([page.waitForEvent('download'), part(page, 'return void part.download(more)', what)]);
    return got.suggestedFilename();
  };
  const first = await name('drawing.pdf');
  assert.equal(first, `${number}-${digest.slice(0, 8)}-drawing.pdf`);
  // A size that the number does not tell.
  await field(page, 'channel_depth').fill('0.43');
  assert.equal((await result(page)).number, number);
  const other = await name('drawing.pdf');
  assert.ok(other.startsWith(`${number}-`) && other !== first, other);
  assert.match(await name('program'), new RegExp(`^${number.replaceAll('.', '\\.')}-[0-9a-f]{8}-program-1\\.nc$`, 'u'));
});
