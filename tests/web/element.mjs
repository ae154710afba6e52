// A shop's server for the element: the package, pages that a test writes, and what a form sends.

import { existsSync, readFileSync } from 'node:fs';
import { createServer } from 'node:http';
import { extname, join, normalize } from 'node:path';
import { root } from './house.mjs';

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
