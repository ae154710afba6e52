// The main journeys of the page and the element in two engines beside Chromium's: Gecko and WebKit.

import assert from 'node:assert/strict';
import { after, before, describe, test } from 'node:test';
import { spawn } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { ENGINES, begin } from './engines.mjs';
import { barwright, made, root } from './house.mjs';

/** The page and the example shop as the program serves them, with its policies. */
function served() {
  const child = spawn(barwright, ['page'], { stdio: ['ignore', 'pipe', 'inherit'] });
  const gone = new Promise((done) => child.on('exit', done));
  return new Promise((told, failed) => {
    let said = '';
    child.stdout.on('data', (chunk) => {
      const match = /http:\/\/127\.0\.0\.1:\d+\//u.exec((said += chunk));
      if (match) told({ address: match[0], end: async () => (child.kill(), gone) });
    });
    gone.then(() => failed(new Error(said)));
  });
}

const shots = join(root, 'target/page');
mkdirSync(shots, { recursive: true });

for (const kind of ENGINES) {
  describe(kind.name, () => {
    let server, engine;
    before(async () => {
      server = await served();
      engine = await begin(kind);
      await engine.wide(1280, 900);
    });
    after(async () => {
      await engine?.end();
      await server?.end();
    });

    /** A journey from a page that is loaded anew; it must not complain. */
    const journey = (name, place, act) => test(name, async () => {
      engine.complaints.length = 0;
      // Another part of the same address would load nothing.
      await engine.visit('about:blank');
      await engine.visit(server.address + place);
      await (place.startsWith('shop/') ? shopReady() : pageReady());
      await act();
      assert.deepEqual(engine.complaints, [], 'nothing on the console, nothing against the policy');
    });
    const pageReady = () => engine.until(() => document.body?.dataset.ready === 'yes');
    const shopReady = async () => {
      await engine.until(() => document.querySelector('barwright-part')?.start !== undefined);
      await engine.tell(() => document.querySelector('barwright-part').start());
      await engine.until(() => document.querySelector('barwright-part').matches(':state(ready)'));
    };
    const text = (selector) => engine.tell((selector) => document.querySelector(selector).textContent, selector);
    const by = (selector) => engine.click((selector) => document.querySelector(selector), selector);
    /** What must hold soon: a driver may answer before the page has heard the key. @param {() => Promise<void>} check @param {number} [patience] in milliseconds */
    const holds = async (check, patience = 10_000) => {
      for (const begun = Date.now(); ; await new Promise((on) => setTimeout(on, 20))) {
        try {
          return await check();
        } catch (error) {
          if (!(error instanceof assert.AssertionError) || Date.now() - begun > patience) throw error;
        }
      }
    };
    const says = (selector, pattern, why) => holds(async () => assert.match(await text(selector), pattern, why));
    /** Goes into the field that a function in the page finds, as a person does, and overwrites what stands there.
     * On a busy machine a driver can lose a stroke, which a person sees and types again. */
    const enter = async (find, given, typed, tries = 3) => {
      await engine.click(find, given);
      await engine.press('Control+a');
      await engine.type(typed);
      try {
        await holds(async () => assert.equal(await engine.tell(`(given) => (${find})(given).value`, given), typed, `typed into ${given}`), 3000);
      } catch (error) {
        if (tries === 1) throw error;
        await enter(find, given, typed, tries - 1);
      }
    };
    const fill = (selector, typed) => enter((selector) => document.querySelector(selector), selector, typed);
    const named = (words) => engine.click((words) => [...document.querySelectorAll('button')].find((button) => button.textContent === words && button.checkVisibility()), words);

    /** How many dark points a picture has where a thing of the page stands. */
    const inked = (picture, selector) => engine.tell(async (text, selector) => {
      const bitmap = await createImageBitmap(new Blob([Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0))], { type: 'image/png' }));
      const scale = bitmap.width / innerWidth;
      const box = document.querySelector(selector).getBoundingClientRect();
      // Within its border.
      const [x, y, wide, high] = [box.x + 3, box.y + 3, box.width - 6, box.height - 6].map((part) => Math.round(part * scale));
      const paper = Object.assign(document.createElement('canvas'), { width: wide, height: high }).getContext('2d');
      paper.drawImage(bitmap, -x, -y);
      const { data } = paper.getImageData(0, 0, wide, high);
      let dark = 0;
      for (let at = 0; at < data.length; at += 4) if (data[at] + data[at + 1] + data[at + 2] < 384) dark += 1;
      return dark;
    }, picture.toString('base64'), selector);

    journey('keys give a new drawing and a new program', '', async () => {
      const both = () => engine.tell(() => [document.querySelector('#sheet svg').innerHTML, document.getElementById('text').textContent]);
      const before = await both();
      await fill('#size-slot_opening', '9,5');
      await says('#number', /^JK-9.5mm-/u);
      const now = await both();
      assert.notEqual(now[0], before[0]);
      assert.equal(now[1], made('joining-key', { slot_opening: '9.5' }, 'mm')['program-1.nc'].toString(), 'the program of the command line');
      await engine.press('ArrowDown', 'ArrowDown');
      await says('#number', /^JK-9.3mm-/u, 'arrow keys step it');
      assert.deepEqual(await engine.tell(() => [...new Set([...document.querySelectorAll('#sheet .on')].map((node) => node.getAttribute('data-value')))]), ['tongue_width'], 'the size is marked on the sheet');
      await by('#sheet g[data-value="key_length"] text');
      await says('#thread', /Length over all 60 mm\./u, 'from a dimension on the sheet to what it is');
    });

    journey('a refusal says why and leaves nothing; one click takes the nearest that would do', '', async () => {
      const files = () => engine.tell(() => document.querySelectorAll('#panel-files button').length);
      await named('Files');
      await holds(async () => assert.ok((await files()) > 0, 'files before'));
      await fill('#size-slot_opening', '400');
      await says('#size-slot_opening-message', /at most 40 mm\. \d[\d.]* mm would do/u);
      const left = () => engine.tell(() => [document.getElementById('word').textContent, document.querySelectorAll('#sheet svg').length, document.getElementById('text').textContent, document.querySelectorAll('#panel-files button').length, document.getElementById('print').disabled, document.getElementById('play').disabled]);
      assert.deepEqual(await left(), ['refused', 0, '', 0, true, true]);
      await fill('#size-slot_opening', '10');
      await holds(async () => assert.ok((await files()) > 0, 'files again'));
      await fill('#size-screws', '4');
      await says('#word', /^refused$/u);
      assert.deepEqual(await left(), ['refused', 0, '', 0, true, true]);
      await engine.until(() => document.getElementById('said').textContent.startsWith('Refused.'));
      await by('.remedies button');
      await holds(async () => assert.notEqual(await text('#word'), 'refused'));
      assert.equal(await engine.tell(() => document.querySelectorAll('#sheet svg').length), 1);
      assert.ok((await files()) > 0, 'files again');
    });

    journey('units turn, and a link is its variant', '#joining-key/mm?slot_opening=9.5', async () => {
      assert.match(await text('#number'), /^JK-9.5mm-/u, 'a link opened');
      await engine.click(() => document.querySelector('input[name=unit][value=in]'));
      await says('#number', /^JK-0\.374in-/u, 'what the link said keeps its meaning');
      assert.equal(await engine.tell(() => document.getElementById('size-slot_opening').value), '9.5 mm');
      await engine.until(() => location.hash.includes('/in?') && location.hash.includes('slot_opening=9.5'));
      await engine.reload();
      await pageReady();
      assert.match(await text('#number'), /^JK-0\.374in-/u, 'the address is the variant');
    });

    journey('the path is stepped, turned and played, its lines with it', '', async () => {
      const picture = () => engine.tell(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(document.getElementById('path').toDataURL())))));
      const said = new Set([await text('#clock')]);
      const seen = new Set([await picture()]);
      const another = (what) => holds(async () => {
        const now = await picture();
        assert.ok(!seen.has(now), `${what}: another view`);
        seen.add(now);
      });
      for (const words of ['Move before', 'From above']) {
        await named(words);
        await another(words);
        said.add(await text('#clock'));
      }
      assert.match(await text('#line-said'), /^Line \d+/u);
      await engine.drag(() => document.getElementById('path'), [], [[60, 20], [110, 45]]);
      await another('drawn by the pointer');
      await engine.tell(() => document.getElementById('path').focus());
      await engine.press('ArrowLeft');
      await another('a key');
      assert.equal(said.size, 2, 'the step is a step in time');
      // Far from the end, where it would stop by itself.
      await engine.tell(() => {
        const time = document.getElementById('time');
        time.value = '30';
        time.dispatchEvent(new Event('input', { bubbles: true }));
      });
      await by('#play');
      await says('#play', /^Pause$/u);
      const first = await engine.tell(() => Number(document.getElementById('time').value));
      await engine.until((first) => Number(document.getElementById('time').value) > first, first);
      await by('#play');
      await says('#play', /^Play$/u);
      const still = await text('#clock');
      await picture();
      assert.equal(await text('#clock'), still, 'it stands still when paused');
    });

    journey('downloads are those of the command line', '', async () => {
      await named('Files');
      const theirs = made('joining-key', {}, 'mm');
      for (const name of ['drawing.svg', 'drawing.pdf', 'program-1.nc', 'part.json']) {
        const files = await engine.files(1, () => named(name));
        const [[given, bytes]] = Object.entries(files);
        assert.equal(given.split('.').at(-1), name.split('.').at(-1), `${given} for ${name}`);
        assert.ok(bytes.equals(theirs[name]), `${name}: the same bytes`);
      }
    });

    journey('what takes long is worked out beside the page', '#tapped-plate/mm?length=200mm&width=100mm&pitch=12mm', async () => {
      await fill('#size-corner', '4');
      await engine.until(() => document.body.dataset.busy === 'no');
      const theirs = made('tapped-plate', { length: '200mm', width: '100mm', pitch: '12mm', corner: '4' }, 'mm');
      assert.equal(await text('#text'), theirs['program-1.nc'].toString());
      assert.equal(await engine.tell(() => document.querySelectorAll('[inert]').length), 0);
    });

    journey('nothing goes off the side, and a whole sheet is whole', '', async () => {
      for (const width of [360, 1024, 1680]) {
        await engine.wide(width, 900);
        await engine.reload();
        await pageReady();
        await engine.until(() => document.fonts.status === 'loaded');
        assert.ok((await engine.tell(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)) <= 0, `at ${width}`);
        if (width > 900) assert.equal(await engine.tell(() => {
          const { overflowY } = getComputedStyle(document.getElementById('sheet'));
          const { scrollHeight, clientHeight } = document.getElementById('sheet');
          return overflowY === 'hidden' || scrollHeight <= clientHeight;
        }), true, `no bar beside a whole sheet at ${width}`);
        const seen = await engine.picture();
        writeFileSync(join(shots, `${kind.name}-${width}.png`), seen);
        for (const selector of ['#word', '#sum', '#size-slot_opening', '#family']) assert.ok((await inked(seen, selector)) > 40, `${selector} is painted at ${width}`);
      }
      await engine.wide(1280, 900);
    });

    journey('the element is a field of the shop’s form', 'shop/', async () => {
      const inside = (id) => engine.click((id) => document.querySelector('barwright-part').shadowRoot.getElementById(id), id);
      const result = () => engine.tell(() => document.querySelector('barwright-part').result?.number ?? null);
      const type = (id, typed) => enter((id) => document.querySelector('barwright-part').shadowRoot.getElementById(id), id, typed);
      const becomes = (pattern, why) => holds(async () => assert.match(String(await result()), pattern, why));
      const entries = () => engine.tell(() => Object.fromEntries(new FormData(document.querySelector('form'))));
      await type('size-slot_opening', '9.5');
      await becomes(/^JK-9.5mm-/u);
      const sent = await entries();
      assert.equal(sent.key, await result());
      assert.match(sent['key.link'], /^#joining-key\/mm\?slot_opening=9\.5/u);
      assert.equal(JSON.parse(sent['key.sizes']).slot_opening, '9.5 mm');
      assert.ok(!('slot' in sent), 'the fallback is asleep');
      const svg = await engine.files(1, () => engine.tell(() => void document.querySelector('barwright-part').setAttribute('offer', 'drawing print pdf svg')).then(() => engine.click(() => document.querySelector('barwright-part').shadowRoot.querySelector('[data-offer=svg]'))));
      assert.ok(Object.values(svg)[0].equals(made('joining-key', { slot_opening: '9.5' }, 'mm')['drawing.svg']), 'the drawing of the command line');

      // Refused it holds the form, and has nothing.
      await fill('#mail', 'nobody@example.org');
      await type('size-screws', '4');
      await becomes(/^null$/u, 'refused');
      assert.deepEqual(await engine.tell(() => {
        const part = document.querySelector('barwright-part');
        return [part.matches(':invalid:state(invalid)'), part.shadowRoot.querySelectorAll('#drawing svg').length, part.shadowRoot.querySelectorAll('[data-offer]:not([disabled])').length];
      }), [true, 0, 0]);
      assert.deepEqual(Object.keys(await entries()).filter((key) => key.startsWith('key')), [], 'nothing in the form');
      await named('Ask for an offer');
      await holds(async () => assert.equal(await engine.tell(() => document.activeElement.tagName), 'BARWRIGHT-PART', 'the focus is led there'));
      assert.match(await engine.tell(() => location.pathname), /\/shop\/$/u, 'not sent');
      await engine.click(() => document.querySelector('barwright-part').shadowRoot.querySelector('#findings li button'));
      await becomes(/^JK-9.5mm-/u, 'mended by one click');
      const mended = await result();

      // Sent, and back again: what was chosen is there, from the history or from the state of the form.
      await named('Ask for an offer');
      await engine.until(() => location.pathname.endsWith('/order.html') && document.readyState === 'complete');
      assert.equal(await engine.tell(() => new URLSearchParams(location.search).get('key')), mended);
      await engine.back();
      await engine.until(() => location.pathname.endsWith('/shop/') && document.readyState === 'complete');
      await shopReady();
      await holds(async () => assert.equal(await result(), mended));
      await engine.tell(() => document.querySelector('form').reset());
      assert.match(await result(), /^JK-10mm-/u, 'reset');
      await engine.wide(360, 740);
      assert.ok((await engine.tell(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)) <= 0, 'nothing off the side');
      await engine.wide(1280, 900);
    });

    // The last: its server is gone afterwards.
    journey('without a network the page is there all the same', '#joining-key/mm?slot_opening=9.5', async () => {
      await engine.tell(() => navigator.serviceWorker.ready.then(() => true));
      await engine.until(() => navigator.serviceWorker.controller !== null);
      await server.end();
      await engine.reload();
      await pageReady();
      assert.match(await text('#number'), /^JK-9.5mm-/u);
      await named('Files');
      const files = await engine.files(1, () => named('drawing.pdf'));
      assert.ok(Object.values(files)[0].equals(made('joining-key', { slot_opening: '9.5' }, 'mm')['drawing.pdf']), 'and works');
    });
  });
}
