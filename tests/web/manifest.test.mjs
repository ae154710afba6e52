// The manifest of the element tells editors what there is; it is held against what the element has.

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { test } from 'node:test';
import { SCRIPT, ready, shop, visit } from './element.mjs';
import { browser, root } from './house.mjs';

const folder = join(root, 'web/part');
const text = readFileSync(join(folder, 'custom-elements.json'), 'utf8');
const [module] = JSON.parse(text).modules;
const [told] = module.declarations;
const names = (list) => list.map((one) => one.name).sort();
const source = ['barwright-part.js', 'frame.js', 'style.js'].map((name) => readFileSync(join(folder, name), 'utf8')).join('\n');
/** What a pattern finds in the source, each once. */
const found = (pattern) => [...new Set([...source.matchAll(pattern)].map((match) => match[1]))].sort();

// https://github.com/webcomponents/custom-elements-manifest, 2.1.0: its own types are the judge.
test('it is a manifest as the open schema has them', () => {
  const place = mkdtempSync(join(tmpdir(), 'barwright-'));
  try {
    const require = createRequire(import.meta.url);
    const schema = join(dirname(require.resolve('custom-elements-manifest')), 'schema.d.ts');
    const check = (manifest) => {
      writeFileSync(join(place, 'manifest.ts'), `import type { Package } from ${JSON.stringify(schema)};\nexport const manifest: Package = ${manifest};\n`);
      return execFileSync('node', [require.resolve('typescript/bin/tsc'), '--noEmit', '--strict', '--skipLibCheck', '--allowImportingTsExtensions', '--module', 'nodenext', join(place, 'manifest.ts')], { stdio: 'pipe' }).toString();
    };
    assert.equal(check(text), '');
    assert.throws(() => check(text.replace('"cssParts"', '"cssPieces"')), 'and a slip is told');
    assert.equal(JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8')).customElements, './custom-elements.json');
    assert.deepEqual(module.exports.map(({ kind, name }) => [kind, name]), [['js', 'BarwrightPart'], ['custom-element-definition', 'barwright-part']]);
  } finally {
    rmSync(place, { recursive: true, force: true });
  }
});

test('attributes, members and events are those of the class', async () => {
  const { BarwrightPart } = await import(join(folder, 'barwright-part.js'));
  // `disabled` is told by the form.
  assert.deepEqual(names(told.attributes), [...BarwrightPart.observedAttributes, 'disabled'].sort());
  assert.deepEqual(found(/this\.(?:get|has)Attribute\('([\w-]+)'\)/gu).filter((name) => !names(told.attributes).includes(name)), [], 'none is read that is not told');
  const theirs = Object.getOwnPropertyDescriptors(BarwrightPart.prototype);
  const members = Object.keys(theirs).filter((name) => name !== 'constructor' && !/Callback$/u.test(name));
  assert.deepEqual(names(told.members.filter((one) => !one.static)), members.sort());
  assert.deepEqual(told.members.filter((one) => one.static).map((one) => one.name), ['formAssociated']);
  for (const member of told.members.filter((one) => !one.static)) {
    const is = theirs[member.name];
    assert.equal(member.kind, is.value ? 'method' : 'field', member.name);
    if (!is.value) assert.equal(member.readonly ?? false, !is.set, `${member.name} can be set, or not`);
    if (is.value) assert.equal((member.parameters ?? []).length, is.value.length, `${member.name}: what it takes`);
  }
  assert.deepEqual(names(told.events), found(/(?:new CustomEvent|#tell)\('([\w-]+)'/gu));
  assert.deepEqual(names(told.cssProperties), found(/(--barwright-[a-z]+)/gu));
});

test('parts, slots and states are those on a page', async () => {
  const server = await shop();
  const chrome = await browser();
  try {
    server.pages = { '/': `<form><barwright-part name="key" fixed="screw=M5" value="slot_opening=10"></barwright-part></form>${SCRIPT}` };
    const page = await visit(await chrome.newContext(), `${server.address}/`);
    await ready(page);
    const on = (attribute) => page.evaluate((attribute) => [...new Set([...document.querySelector('barwright-part').shadowRoot.querySelectorAll(attribute === 'part' ? '[part]' : 'slot')].flatMap((node) => (node.getAttribute(attribute) ?? '').split(' ')))].sort(), attribute);
    assert.deepEqual(await on('part'), names(told.cssParts));
    // The nameless one is there until it is ready, and again when it failed.
    assert.deepEqual(await on('name'), ['extra']);
    assert.deepEqual(names(told.slots), ['', 'extra']);
    const states = () => page.evaluate((names) => names.filter((name) => document.querySelector('barwright-part').matches(`:state(${name})`)), names(told.cssStates));
    assert.deepEqual(await states(), ['ready']);
    await page.evaluate(() => (document.querySelector('barwright-part').sizes = { screws: '4' }));
    assert.deepEqual(await states(), ['invalid']);
    await page.evaluate(() => (document.querySelector('barwright-part').family = 'nothing'));
    assert.deepEqual(await states(), ['failed']);
    assert.deepEqual(await on('name'), ['']);
    assert.equal(await page.evaluate(() => {
      const other = document.createElement('barwright-part');
      document.querySelector('barwright-part').replaceWith(other);
      void other.start();
      return other.matches(':state(loading)');
    }), true);
  } finally {
    await chrome.close();
    server.end();
  }
});
