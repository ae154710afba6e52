// A shop's server for the element: the package, pages that a test writes, and what a form sends.

import { existsSync, readFileSync } from 'node:fs';
import { createServer } from 'node:http';
import assert from 'node:assert/strict';
import { extname, join, normalize } from 'node:path';
import { after, before as begin, test } from 'node:test';
import { browser, root } from './house.mjs';

const KINDS = { '.html': 'text/html; charset=utf-8', '.js': 'text/javascript', '.css': 'text/css', '.wasm': 'application/wasm', '.woff2': 'font/woff2', '.svg': 'image/svg+xml' };
export const POLICY = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; connect-src 'self'; font-src 'self'; img-src 'self'; form-action 'self'; base-uri 'none'; require-trusted-types-for 'script'; trusted-types barwright-part";

/** @param {string} [folder] where the package lies */
export async function shop(folder = join(root, 'web/part')) {
  const state = { pages: {}, policy: POLICY, asked: [], /** @type {URLSearchParams | null} */ sent: null, address: '', end: () => server.close() };
  const server = createServer((request, response) => {
    const url = new URL(request.url ?? '/', 'http://shop');
    state.asked.push(url.pathname);
    if (url.pathname === '/favicon.ico') return void response.writeHead(204).end();
    const page = state.pages[url.pathname];
    if (url.pathname === '/order') state.sent = url.searchParams;
    if (page !== undefined || url.pathname === '/order') {
      const headers = { 'content-type': 'text/html; charset=utf-8' };
      if (state.policy) headers['content-security-policy'] = state.policy;
      response.writeHead(200, headers).end(`<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Shop</title></head><body><main><h1>Shop</h1>${page ?? 'thanks'}</main></body></html>`);
      return;
    }
    const file = join(folder, normalize(url.pathname).replace(/^\/part\//u, '/'));
    if (!file.startsWith(folder) || !existsSync(file) || !extname(file)) return void response.writeHead(404).end();
    response.writeHead(200, { 'content-type': KINDS[extname(file)] ?? 'text/plain' }).end(readFileSync(file));
  });
  await new Promise((listening) => server.listen(0, '127.0.0.1', listening));
  state.address = `http://127.0.0.1:${server.address().port}`;
  return state;
}

export const SCRIPT = '<script type="module" src="/part/barwright-part.js"></script>';

/** Opens a page and hears every complaint. */
export async function visit(context, address) {
  const page = await context.newPage();
  const complaints = [];
  page.on('console', (message) => complaints.push(`${message.type()}: ${message.text()}`));
  page.on('pageerror', (error) => complaints.push(String(error)));
  await page.goto(address);
  page.complaints = complaints;
  return page;
}

export const ready = (page, selector = 'barwright-part') => page.waitForFunction((selector) => document.querySelector(selector)?.matches(':state(ready)'), selector, { timeout: 60_000 });

/** A shop and a browser for the tests of one file, and what those tests are: a page of a body, which must not complain but for what is told to whoever wrote it. */
export function journeys() {
  const at = /** @type {any} */ ({});
  begin(async () => {
    at.server = await shop();
    at.chrome = await browser();
  });
  after(async () => {
    await at.chrome.close();
    at.server.end();
  });
  const journey = (name, body, act, { policy = POLICY, options = {}, silent = true, warned = [], wait = true, before = async () => {} } = {}) => {
    test(name, async () => {
      const context = await at.chrome.newContext({ viewport: { width: 1280, height: 900 }, acceptDownloads: true, ...options });
      try {
        at.server.pages = { '/': body };
        at.server.policy = policy;
        at.server.sent = null;
        at.server.asked.length = 0;
        await before(context);
        const page = await visit(context, `${at.server.address}/`);
        if (wait) await ready(page);
        await act(page);
        if (silent) assert.deepEqual(page.complaints.map((text) => text.replace(/, which is none of .*$/u, '')), warned, 'nothing on the console, nothing against the policy');
      } finally {
        await context.close();
      }
    });
  };
  return { at, journey };
}

export const FORM = `<form action="/order"><barwright-part name="key"><label>Slot <input name="slot" value="old"></label></barwright-part><label>Pieces <input name="pieces" value="3"></label><button>Order</button></form>${SCRIPT}`;
export const field = (page, name) => page.locator(`#size-${name}`);
export const result = (page) => page.evaluate(() => document.querySelector('barwright-part').result);
