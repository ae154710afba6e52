// Two more engines under one face: Firefox over WebDriver BiDi, WebKitGTK over classic WebDriver. Both are
// open standards of the W3C, and describe keys and pointers in the same words.

import { spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import WebSocket from 'ws';

const FIREFOX = process.env.FIREFOX ?? '/usr/bin/firefox-esr';
const MINIBROWSER = process.env.MINIBROWSER ?? '/usr/lib/x86_64-linux-gnu/webkit2gtk-4.1/MiniBrowser';

/** Keys without a sign of their own, as the standard numbers them (WebDriver, 17.4.2 Keyboard actions). */
const KEYS = { Tab: '\uE004', Enter: '\uE007', Shift: '\uE008', Control: '\uE009', PageUp: '\uE00E', End: '\uE010', Home: '\uE011', ArrowLeft: '\uE012', ArrowUp: '\uE013', ArrowRight: '\uE014', ArrowDown: '\uE015', Escape: '\uE00C' };

/** `Control+A` or a single key as strokes. @param {string} name */
function strokes(name) {
  const keys = name.split('+').map((key) => KEYS[key] ?? (key.length === 1 ? key.toLowerCase() : key));
  return [...keys.map((value) => ({ type: 'keyDown', value })), ...keys.reverse().map((value) => ({ type: 'keyUp', value }))];
}

/** A program that runs until it is ended; `line` hears all that it says. @param {(line: string) => void} line */
function run(command, given, env, line) {
  const child = spawn(command, given, { env: { ...process.env, ...env }, stdio: ['ignore', 'pipe', 'pipe', 'pipe'] });
  for (const stream of [child.stdout, child.stderr, child.stdio[3]]) createInterface({ input: stream }).on('line', line);
  const gone = new Promise((done) => child.on('exit', done));
  return { child, gone, end: async () => (child.kill(), gone) };
}

/** The first line that fits, or what went wrong. */
function told(command, given, env, pattern, line = () => {}) {
  return new Promise((found, failed) => {
    let said = '';
    const running = run(command, given, env, (text) => {
      said += `${text}\n`;
      line(text);
      const match = pattern.exec(text);
      if (match) found({ ...running, match });
    });
    running.child.on('error', failed);
    running.gone.then(() => failed(new Error(`${command} ended: ${said}`)));
  });
}

/** What every engine does alike, over the few things that each does its own way. */
class Engine {
  /** A folder of its own for what it remembers and what is downloaded. */
  folder = mkdtempSync(join(tmpdir(), 'barwright-'));
  downloads = join(this.folder, 'downloads');
  /** @type {string[]} */ complaints = [];

  constructor() {
    mkdirSync(this.downloads);
  }

  /** What its own helpers still write as they end is waited for. */
  async clear() {
    for (let left = 40; left > 0; left--) {
      try {
        return rmSync(this.folder, { recursive: true, force: true });
      } catch {
        await new Promise((on) => setTimeout(on, 50));
      }
    }
  }

  /** Until a function in the page says yes. A page that is just leaving cannot answer; the next one will. */
  async until(act, ...given) {
    let last = '';
    for (const begun = Date.now(); Date.now() - begun < 60_000; await new Promise((on) => setTimeout(on, 20))) {
      try {
        if (await this.tell(act, ...given)) return;
      } catch (error) {
        last = `: ${error.message}`;
      }
    }
    throw new Error(`still not: ${act}, with ${JSON.stringify(given)}${last}`);
  }

  /** Types signs one by one. @param {string} text */
  type(text) {
    return this.act([{ type: 'key', id: 'keys', actions: [...text].flatMap(strokes) }]);
  }

  /** Presses keys by name, one after another. @param {...string} names */
  press(...names) {
    return this.act([{ type: 'key', id: 'keys', actions: names.flatMap(strokes) }]);
  }

  /** Moves the pointer from place to place with its button down, from the middle of what `find` returns. */
  async drag(find, given, ways) {
    const { x, y } = await this.tell(`(...given) => {
      const node = (${find})(...given);
      node.scrollIntoView({ block: 'center', behavior: 'instant' });
      const box = node.getBoundingClientRect();
      return { x: Math.round(box.x + box.width / 2), y: Math.round(box.y + box.height / 2) };
    }`, ...given);
    const move = ([along, down]) => ({ type: 'pointerMove', x: x + along, y: y + down, duration: 0, origin: 'viewport' });
    await this.act([{ type: 'pointer', id: 'pointer', parameters: { pointerType: 'mouse' }, actions: [move([0, 0]), { type: 'pointerDown', button: 0 }, ...ways.map(move), { type: 'pointerUp', button: 0 }] }]);
  }

  /** Clicks what a function in the page finds, where a person would see it. */
  click(find, ...given) {
    return this.drag(find, given, []);
  }

  /** The files that come into its folder by an act, by name; waits for so many. */
  async files(count, act) {
    const names = () => readdirSync(this.downloads);
    for (const name of names()) rmSync(join(this.downloads, name), { force: true });
    await act();
    let before = '';
    for (const begun = Date.now(); Date.now() - begun < 20_000; await new Promise((on) => setTimeout(on, 50))) {
      const files = Object.fromEntries(names().flatMap((name) => {
        try {
          return [[name, readFileSync(join(this.downloads, name))]];
        } catch {
          // What was in the making has its last name by now.
          return [];
        }
      }));
      const state = JSON.stringify(Object.entries(files).map(([name, bytes]) => [name, bytes.length]));
      // Whole when nothing is in the making (each engine ends such a name its own way) and nothing grows.
      if (Object.keys(files).length === count && !/\.(part|wkdownload)"/u.test(state) && state === before) return files;
      before = state;
    }
    throw new Error(`${count} files were to come, there are: ${names().join(', ') || 'none'}`);
  }
}

class Firefox extends Engine {
  name = 'Firefox';

  async begin(dark) {
    // 0 is dark, 1 is light; nothing is fetched that nobody asked for.
    const settings = { 'layout.css.prefers-color-scheme.content-override': dark ? 0 : 1, 'browser.download.folderList': 2, 'browser.download.dir': this.downloads, 'browser.download.alwaysOpenPanel': false, 'pdfjs.disabled': true, 'browser.helperApps.neverAsk.saveToDisk': 'application/pdf,image/svg+xml,application/json,text/plain', 'browser.shell.checkDefaultBrowser': false, 'datareporting.policy.dataSubmissionEnabled': false, 'toolkit.telemetry.enabled': false, 'app.update.enabled': false, 'extensions.update.enabled': false, 'network.captive-portal-service.enabled': false, 'network.connectivity-service.enabled': false, 'browser.safebrowsing.malware.enabled': false, 'browser.safebrowsing.phishing.enabled': false };
    writeFileSync(join(this.folder, 'user.js'), Object.entries(settings).map(([name, value]) => `user_pref(${JSON.stringify(name)}, ${JSON.stringify(value)});\n`).join(''));
    this.program = await told(FIREFOX, ['--headless', '--no-remote', '--profile', this.folder, '--remote-debugging-port', '0', 'about:blank'], { MOZ_CRASHREPORTER_DISABLE: '1' }, /WebDriver BiDi listening on (ws:\S+)/u);
    this.wire = new WebSocket(`${this.program.match[1]}/session`);
    await new Promise((done, failed) => this.wire.on('open', done).on('error', failed));
    this.asked = new Map();
    this.wire.on('message', (data) => this.hear(JSON.parse(String(data))));
    this.version = (await this.ask('session.new', { capabilities: {} })).capabilities.browserVersion;
    // In the first tab the line of the address keeps the focus, and no field would hear that it has it.
    this.context = (await this.ask('browsingContext.create', { type: 'tab' })).context;
    await this.ask('session.subscribe', { events: ['log.entryAdded'] });
    // Breaches of a policy are no entries of the log; this ear is there before the page.
    await this.ask('script.addPreloadScript', { functionDeclaration: '() => addEventListener("securitypolicyviolation", (event) => console.error(`${event.violatedDirective}: ${event.blockedURI}`), true)' });
    return this;
  }

  hear(message) {
    const waiting = this.asked.get(message.id);
    this.asked.delete(message.id);
    if (message.type === 'success') waiting?.done(message.result);
    else if (message.type === 'error') waiting?.failed(new Error(`${message.error}: ${message.message}`));
    else if (message.method === 'log.entryAdded') this.complaints.push(`${message.params.level}: ${message.params.text}`);
  }

  ask(method, params) {
    const id = (this.count = (this.count ?? 0) + 1);
    return new Promise((done, failed) => {
      this.asked.set(id, { done, failed });
      this.wire.send(JSON.stringify({ id, method, params }));
    });
  }

  visit = (url) => this.ask('browsingContext.navigate', { context: this.context, url, wait: 'complete' });
  reload = () => this.ask('browsingContext.reload', { context: this.context, wait: 'complete' });
  back = () => this.ask('browsingContext.traverseHistory', { context: this.context, delta: -1 });
  act = (actions) => this.ask('input.performActions', { context: this.context, actions });
  wide = (width, height) => this.ask('browsingContext.setViewport', { context: this.context, viewport: { width, height } });

  /** A function in the page; what it returns goes as JSON. */
  async tell(act, ...given) {
    const answer = await this.ask('script.callFunction', { target: { context: this.context }, awaitPromise: true, functionDeclaration: `async (text) => JSON.stringify((await (${act})(...JSON.parse(text))) ?? null)`, arguments: [{ type: 'string', value: JSON.stringify(given) }] });
    if (answer.type === 'exception') throw new Error(answer.exceptionDetails.text);
    return JSON.parse(answer.result.value);
  }

  async picture() {
    return Buffer.from((await this.ask('browsingContext.captureScreenshot', { context: this.context, origin: 'viewport' })).data, 'base64');
  }

  async end() {
    this.wire?.close();
    await this.program?.end();
    await this.clear();
  }
}

class WebKit extends Engine {
  name = 'WebKitGTK';

  async begin(dark) {
    // A screen that nobody sees, of the first number that is free; it says which on its fourth stream.
    this.screen = await told('Xvfb', ['-displayfd', '3', '-screen', '0', '1600x1200x24', '-nolisten', 'tcp'], {}, /^(\d+)$/u);
    writeFileSync(join(this.folder, 'user-dirs.dirs'), `XDG_DOWNLOAD_DIR="${this.downloads}"\n`);
    const env = { DISPLAY: `:${this.screen.match[1]}`, GDK_BACKEND: 'x11', GTK_THEME: dark ? 'Adwaita:dark' : 'Adwaita', HOME: this.folder, XDG_CONFIG_HOME: this.folder, XDG_DATA_HOME: this.folder, XDG_CACHE_HOME: this.folder, MESA_SHADER_CACHE_DISABLE: 'true' };
    // What a page complains of is written to the stream, breaches of a policy too.
    const port = await free();
    this.program = run('WebKitWebDriver', ['--host=127.0.0.1', `--port=${port}`], env, (line) => /^CONSOLE /u.test(line) && this.complaints.push(line));
    this.address = `http://127.0.0.1:${port}/session`;
    const capabilities = { alwaysMatch: { 'webkitgtk:browserOptions': { binary: MINIBROWSER, args: ['--automation', '--enable-write-console-messages-to-stdout=true'] } } };
    const begun = Date.now();
    for (;;) {
      try {
        const session = await this.ask('POST', '', { capabilities });
        this.version = session.capabilities.browserVersion;
        this.address += `/${session.sessionId}`;
        return this;
      } catch (error) {
        if (error.message !== 'fetch failed' || Date.now() - begun > 20_000) throw error;
        await new Promise((on) => setTimeout(on, 50));
      }
    }
  }

  async ask(method, path, body) {
    const answer = await fetch(this.address + path, { method, body: body && JSON.stringify(body) });
    const { value } = await answer.json();
    if (!answer.ok) throw new Error(`${path}: ${value.error}: ${value.message}`);
    return value;
  }

  visit = (url) => this.ask('POST', '/url', { url });
  reload = () => this.ask('POST', '/refresh', {});
  back = () => this.ask('POST', '/back', {});
  act = (actions) => this.ask('POST', '/actions', { actions });

  /** Its window has a head of its own, and is never narrower than its buttons: asked for less it leaves out what it should paint. */
  async wide(asked, height) {
    const width = Math.max(asked, 450);
    await this.ask('POST', '/window/rect', { width, height });
    const head = height - (await this.tell(() => innerHeight));
    if (head > 0) await this.ask('POST', '/window/rect', { width, height: height + head });
  }

  async tell(act, ...given) {
    const answer = await this.ask('POST', '/execute/async', { script: `const [text, done] = arguments; (async () => JSON.stringify((await (${act})(...JSON.parse(text))) ?? null))().then((said) => done({ said }), (error) => done({ error: String(error) }));`, args: [JSON.stringify(given)] });
    if (answer.error) throw new Error(answer.error);
    return JSON.parse(answer.said);
  }

  async picture() {
    return Buffer.from(await this.ask('GET', '/screenshot'), 'base64');
  }

  async end() {
    await this.ask('DELETE', '').catch(() => undefined);
    await this.program?.end();
    await this.screen?.end();
    await this.clear();
  }
}

/** A port that nobody has now. @returns {Promise<number>} */
async function free() {
  const { createServer } = await import('node:net');
  const server = createServer();
  await new Promise((on) => server.listen(0, '127.0.0.1', on));
  const { port } = server.address();
  await new Promise((on) => server.close(on));
  return port;
}

/** The engines, each begun anew by `begin`. */
export const ENGINES = [Firefox, WebKit];

/** @param {new () => any} kind @param {boolean} [dark] */
export async function begin(kind, dark = false) {
  const engine = new kind();
  try {
    return await engine.begin(dark);
  } catch (error) {
    await engine.end();
    throw error;
  }
}
