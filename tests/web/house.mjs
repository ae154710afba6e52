// What every test of the page needs: a file server, a browser, the command line, and an ear for complaints.

import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, readdirSync, rmSync } from 'node:fs';
import { createServer } from 'node:http';
import { tmpdir } from 'node:os';
import { dirname, extname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { brotliCompressSync, constants } from 'node:zlib';
import { chromium } from 'playwright-core';

export const root = join(dirname(fileURLToPath(import.meta.url)), '../..');
const dist = join(root, 'web/dist');

/** The command line, as it was built. */
export const barwright = ['release', 'debug'].map((kind) => join(root, 'target', kind, 'barwright')).find(existsSync) ?? 'barwright';

const KINDS = { '.html': 'text/html; charset=utf-8', '.js': 'text/javascript', '.css': 'text/css', '.wasm': 'application/wasm', '.svg': 'image/svg+xml', '.woff2': 'font/woff2' };

/**
 * Any file server: no header but the kind, so that the page's own policy is what holds.
 * @param {boolean} [small] sends brotli, as a server on the net would
 * @param {{folder?: string, headers?: Record<string, string>}} [other] another folder, headers beside the kind
 */
export async function serve(small = false, { folder = dist, headers = {} } = {}) {
  const packed = new Map();
  const server = createServer((request, response) => {
    const name = new URL(request.url ?? '/', 'http://page').pathname.slice(1) || 'index.html';
    if (!/^[\w.-]+$/u.test(name) || !existsSync(join(folder, name))) {
      response.writeHead(404).end();
      return;
    }
    const kind = { ...headers, 'content-type': KINDS[extname(name)] ?? 'text/plain' };
    if (!small) return void response.writeHead(200, kind).end(readFileSync(join(folder, name)));
    if (!packed.has(name)) packed.set(name, brotliCompressSync(readFileSync(join(folder, name)), { params: { [constants.BROTLI_PARAM_QUALITY]: 11 } }));
    response.writeHead(200, { ...kind, 'content-encoding': 'br' }).end(packed.get(name));
  });
  await new Promise((listening) => server.listen(0, '127.0.0.1', listening));
  return { address: `http://127.0.0.1:${server.address().port}/`, end: () => server.close() };
}

export const browser = () =>
  chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
  });

/** A page that is ready, with everything that it complained of. */
export async function open(context, address) {
  const page = await context.newPage();
  const complaints = [];
  page.on('console', (message) => complaints.push(`${message.type()}: ${message.text()}`));
  page.on('pageerror', (error) => complaints.push(String(error)));
  await page.addInitScript(() => {
    globalThis.violations = [];
    document.addEventListener('securitypolicyviolation', (event) => globalThis.violations.push(`${event.violatedDirective}: ${event.blockedURI}`));
  });
  await page.goto(address);
  await page.waitForFunction(() => document.body.dataset.ready === 'yes', undefined, { timeout: 60_000 });
  page.complaints = async () => [...complaints, ...(await page.evaluate(() => globalThis.violations))];
  return page;
}

/** What the command line makes: its files by name, or nothing where it refuses. */
export function made(family, sizes, unit, more = []) {
  const folder = mkdtempSync(join(tmpdir(), 'barwright-'));
  try {
    const given = Object.entries(sizes).map(([name, text]) => `${name}=${text}`);
    execFileSync(barwright, ['make', family, ...given, '--unit', unit, '-o', join(folder, 'made'), ...more], { stdio: 'pipe' });
    const names = readdirSync(join(folder, 'made'));
    return Object.fromEntries(names.map((name) => [name, readFileSync(join(folder, 'made', name))]));
  } catch (error) {
    if (error.status === 1) return null;
    throw error;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** What the page's own core makes, in the page: names and bytes, or the bytes' SHA-256 in hex. */
export const inPage = (page, orders, as = 'bytes') =>
  page.evaluate(async ({ orders, as }) => {
    const { Core } = await import('./core.js');
    const core = new Core();
    const hex = async (bytes) => [...new Uint8Array(await crypto.subtle.digest('SHA-256', bytes))].map((byte) => byte.toString(16).padStart(2, '0')).join('');
    const all = [];
    for (const { family, sizes, unit, control } of orders) {
      core.openShop(undefined, control);
      core.openFamily(family);
      core.make({ unit, sizes });
      const files = {};
      // Bytes as text of the same length: quick to hand over, nothing lost.
      for (const name of core.files()) files[name] = as === 'hashes' ? await hex(core.file(name)) : Array.from(core.file(name), (byte) => String.fromCharCode(byte)).join('');
      all.push(files);
    }
    return all;
  }, { orders, as });
