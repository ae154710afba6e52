// The address of the page is a variant: what it asks for, and what it says when it cannot be had.

import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { made, open, root } from './house.mjs';
import { journeys, program, text, word } from './journey.mjs';

const { journey } = journeys();

journey('the address is the variant', async (page, context) => {
  await page.getByLabel('Opening of the slot', { exact: true }).fill('9.5');
  await page.getByLabel('Control').selectOption('absolute');
  await page.waitForFunction(() => location.hash.includes('slot_opening=9.5') && location.hash.includes('absolute'));
  const other = await open(context, page.url());
  assert.equal(await text(other, '#number'), await text(page, '#number'));
  assert.equal(await program(other), await program(page));
  await other.evaluate(() => (location.hash = '#joining-key/in?slot_opening=0.4'));
  await other.waitForFunction(() => document.getElementById('number').textContent.startsWith('JK-0.4in'));
});

journey('the way past the head leaves the variant alone', async (page) => {
  // The address has had its digest added by then.
  await page.waitForFunction(() => location.hash.includes('part-digest='));
  const before = [await text(page, '#number'), page.url()];
  await page.keyboard.press('Tab');
  await page.keyboard.press('Enter');
  assert.equal(await page.evaluate(() => document.activeElement.id), 'sizes');
  await page.waitForTimeout(500);
  assert.deepEqual([await text(page, '#number'), page.url()], before);
}, { hash: '#spacer-bar/in?length=3' });

const HOSTILE = '<img src=x onerror=alert(1)><script>alert(2)</script>';
journey('a hostile link is text and nothing else', async (page) => {
  assert.equal(await page.locator('img, #fields script, #verdict script').count(), 0, 'no element of it');
  assert.equal(await word(page), 'refused');
  assert.match(await text(page, '#size-slot_opening-message'), /<img/u, 'it is shown as what it is');
  assert.equal(await page.evaluate(() => ({}).polluted), undefined);
}, { hash: `#joining-key/mm/${encodeURIComponent('../../x')}?slot_opening=${encodeURIComponent(HOSTILE)}&__proto__=1&constructor=2&nothing=${'9'.repeat(3000)}&screw=${encodeURIComponent('"><b>')}` });

journey('a broken link opens the page all the same', async (page) => {
  assert.match(await text(page, '#number'), /^JK-10mm/u);
}, { hash: '#%E0%A4%A/%ff?&&&==' });

/** A family that the page has not. */
const mine = () => readFileSync(join(root, 'families/clamp-bar.yaml'), 'utf8').replace('title: Clamp bar', 'title: My clamp');
journey('a link to a family that is not here says so, is kept, and is taken when its file comes', async (page) => {
  assert.match(await text(page, '#note'), /mine\.yaml, which is not here/u);
  await page.waitForTimeout(500);
  assert.match(page.url(), /#mine\.yaml\/mm\?reach=/u, 'the address stays as it came');
  await page.locator('#own').setInputFiles({ name: 'mine.yaml', mimeType: 'text/yaml', buffer: Buffer.from(mine()) });
  await page.waitForFunction(() => document.getElementById('own-said').textContent.includes('mine.yaml is open'));
  assert.equal(await page.locator('#size-reach').inputValue(), '52 mm');
  assert.equal(await page.locator('#note').isVisible(), false);
}, { hash: '#mine.yaml/mm?reach=52+mm' });

journey('a link that is followed from a page in use is kept as well', async (page) => {
  await page.locator('#size-slot_opening').fill('9');
  await page.waitForFunction(() => location.hash.includes('slot_opening=9'));
  await page.evaluate(() => (location.hash = '#mine.yaml/mm?reach=52+mm'));
  await page.waitForFunction(() => document.getElementById('note').textContent.includes('mine.yaml, which is not here'));
  await page.waitForTimeout(500);
  assert.match(page.url(), /#mine\.yaml\/mm\?reach=/u, 'the address stays as it came');
});

journey('a family of one’s own is in the address by its file, and Back finds it', async (page) => {
  await page.locator('#own').setInputFiles({ name: 'mine.yaml', mimeType: 'text/yaml', buffer: Buffer.from(mine()) });
  await page.waitForFunction(() => document.getElementById('own-said').textContent.includes('mine.yaml is open'));
  await page.locator('#size-reach').fill('52');
  await page.waitForFunction(() => location.hash.startsWith('#mine.yaml/mm?reach=52'));
  await page.locator('#family').selectOption('joining-key');
  await page.waitForFunction(() => location.hash.startsWith('#joining-key'));
  await page.goBack();
  await page.waitForFunction(() => document.getElementById('family').value === 'mine.yaml');
  assert.equal(await page.locator('#size-reach').inputValue(), '52');
  await page.reload();
  await page.waitForFunction(() => document.body.dataset.ready === 'yes');
  assert.match(await text(page, '#note'), /mine\.yaml, which is not here/u);
  await page.locator('#own').setInputFiles({ name: 'mine.yaml', mimeType: 'text/yaml', buffer: Buffer.from(mine()) });
  await page.waitForFunction(() => document.getElementById('own-said').textContent.includes('mine.yaml is open'));
  assert.equal(await page.locator('#size-reach').inputValue(), '52', 'the sizes of the link are taken');
});

journey('Back from a link to what stood there before', async (page) => {
  const before = await text(page, '#number');
  await page.evaluate(() => (location.hash = '#joining-key/mm?slot_opening=9&part-digest=000000000000'));
  await page.waitForFunction(() => document.getElementById('note').textContent.includes('000000000000'));
  await page.goBack();
  await page.waitForFunction((before) => document.getElementById('number').textContent === before, before);
  assert.equal(await page.locator('#note').isVisible(), false);
});

journey('a note of a link goes when it is no longer true', async (page) => {
  assert.match(await text(page, '#note'), /0123456789ab/u);
  await page.locator('#size-slot_opening').fill('9');
  assert.equal(await page.locator('#note').isVisible(), false);
}, { hash: '#joining-key/mm?slot_opening=9.5&part-digest=0123456789ab' });

journey('a link says when its sizes made another part as it was written', async (page) => {
  assert.match(await text(page, '#note'), /digest 0123456789ab; the same sizes make one of [0-9a-f]{12} here/u);
  await page.waitForTimeout(500);
  assert.match(page.url(), /part-digest=0123456789ab$/u, 'the address stays as it came');
  await page.reload();
  await page.waitForFunction(() => document.body.dataset.ready === 'yes');
  assert.equal(await page.locator('#note').isVisible(), true, 'and says it again');
  await page.locator('#size-slot_opening').fill('9.6');
  await page.waitForFunction(() => /slot_opening=9\.6&part-digest=(?!0123456789ab)[0-9a-f]{12}$/u.test(location.hash));
  await page.reload();
  await page.waitForFunction(() => document.body.dataset.ready === 'yes');
  assert.equal(await page.locator('#note').isVisible(), false, 'its own link is of this part');
  assert.match(await text(page, '#number'), /^JK-9\.6mm/u);
}, { hash: '#joining-key/mm?slot_opening=9.5&part-digest=0123456789ab' });

journey('a link to a control that is not here says which one the program is for', async (page) => {
  assert.match(await text(page, '#note'), /control ‘nocontrol’, which is not here; the program is written for ‘canned’/u);
  assert.equal(await page.locator('#control').inputValue(), 'canned', 'what is shown is what is used');
  assert.equal(await program(page), made('joining-key', {}, 'mm')['program-1.nc'].toString());
  await page.waitForTimeout(500);
  assert.match(page.url(), /nocontrol$/u, 'the address stays as it came');
}, { hash: '#joining-key/mm/nocontrol' });

journey('a unit that is none is told', async (page) => {
  assert.match(await text(page, '#note'), /unit ‘xx’ is neither mm nor in; bare numbers are mm here/u);
}, { hash: '#joining-key/xx' });

journey('a link remembers that its shop was the visitor’s own, and says when it is gone', async (page) => {
  const shop = (name) => readFileSync(join(root, 'families/shop', name), 'utf8');
  const files = [
    { name: 'shop.yaml', mimeType: 'text/yaml', buffer: Buffer.from(shop('shop.yaml').replace('owner: Heddle Row Workshop', 'owner: Shed Street Workshop')) },
    { name: 'control-mill-two.yaml', mimeType: 'text/yaml', buffer: Buffer.from(shop('control-absolute.yaml')) },
  ];
  await page.locator('#own').setInputFiles(files);
  await page.waitForFunction(() => document.getElementById('shop').textContent.includes('Shed Street Workshop'));
  await page.locator('#control').selectOption('mill-two');
  await page.waitForFunction(() => /\/mill-two\?.*own-shop=yes$/u.test(location.hash));
  const theirs = await program(page);
  await page.reload();
  await page.waitForFunction(() => document.body.dataset.ready === 'yes');
  assert.match(await text(page, '#note'), /a shop of one’s own, which is not here.*control ‘mill-two’, which is not here/u);
  assert.match(await text(page, '#shop'), /Heddle Row Workshop\. Its control: Drilling cycles/u);
  assert.equal(await page.locator('#control').inputValue(), 'canned');
  await page.locator('#own').setInputFiles(files);
  await page.waitForFunction(() => document.getElementById('shop').textContent.includes('Shed Street Workshop'));
  assert.equal(await page.locator('#control').inputValue(), 'mill-two');
  assert.equal(await program(page), theirs);
  assert.equal(await page.locator('#note').isVisible(), false);
});

journey('another family is a step from which one comes back', async (page) => {
  await page.getByLabel('Opening of the slot', { exact: true }).fill('9.5');
  await page.locator('#family').selectOption('spacer-bar');
  await page.waitForFunction(() => location.hash.startsWith('#spacer-bar/'));
  await page.goBack();
  await page.waitForFunction(() => document.getElementById('number').textContent.startsWith('JK-9.5mm'));
  assert.equal(await page.locator('#family').inputValue(), 'joining-key');
});
