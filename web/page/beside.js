// Workers, asked and answered by promises.

import { address } from './make.js';

/** One worker of the page. */
export class Asked {
  /** @type {Worker} */ #worker;
  #count = 0;
  /** @type {Map<number, {done: (answer: any) => void, failed: (error: Error) => void}>} */
  #open = new Map();

  /** @param {string} script */
  constructor(script) {
    this.#worker = new Worker(address(script), { type: 'module' });
    this.#worker.addEventListener('message', ({ data: { id, answer, failed } }) => {
      const one = this.#open.get(id);
      this.#open.delete(id);
      if (failed === undefined) one?.done(answer);
      else one?.failed(new Error(failed));
    });
    this.#worker.addEventListener('error', (event) => {
      event.preventDefault();
      this.#fail(event.message);
    });
  }

  /** @param {any} asked @param {string} [act] @returns {Promise<any>} */
  ask(asked, act) {
    const id = ++this.#count;
    return new Promise((done, failed) => {
      this.#open.set(id, { done, failed });
      this.#worker.postMessage({ id, act, asked });
    });
  }

  end() {
    this.#worker.terminate();
    this.#fail('The worker was stopped.');
  }

  /** Nothing that is still open is answered. @param {string} why */
  #fail(why) {
    for (const { failed } of this.#open.values()) failed(new Error(why));
    this.#open.clear();
  }
}

/** What gives out the last variant: its moves at once, its files when they are there. */
export class Beside {
  #worker = new Asked('worker.js');
  /** @type {string[]} */ #names = [];
  /** @type {Float64Array[]} */ #motions = [];

  /** @param {{family: any, shop: any, order: any}} asked @returns {Promise<any>} what came of the sizes */
  async make(asked) {
    const { text, names, motions } = await this.#worker.ask(asked, 'make');
    [this.#names, this.#motions] = [names, motions];
    return JSON.parse(text);
  }

  files() {
    return this.#names;
  }

  /** @param {number} run */
  motions(run) {
    return this.#motions[run] ?? new Float64Array();
  }

  /** @param {string} name @returns {Promise<Uint8Array | undefined>} */
  file(name) {
    return this.#worker.ask({ name }, 'file');
  }

  /** @returns {Promise<Uint8Array | undefined>} */
  archive() {
    return this.#worker.ask(undefined, 'archive');
  }
}
