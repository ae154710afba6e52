// Who works a variant out, and when: the core here where that is quick, a worker beside the page where a
// key would have to wait for it.

import { Beside } from './beside.js';
import { NOBODY } from './first.js';

/** Programs of so many letters take longer to prove than a key may be waited for. */
const LONG = 40_000;

export class Work {
  /** @type {{core: () => any, asked: () => any, arrived: (result: any) => void, broken: (error: unknown) => void}} */ #page;
  /** What gives out moves and files of the variant: the core here, or the one beside. @type {any} */ source = NOBODY;
  /** Letters of the last programs that there were: the next will be about as long. */ #heavy = 0;
  /** Counts the variants that were asked for: what is answered to an earlier one is nobody's. */ #edition = 0;
  /** Whether the worker is at one. */ #asking = false;
  /** Whether something was typed since. */ #again = false;
  /** Works them out beside the page; null where the browser lets it have no worker. @type {Beside | null | undefined} */ #beside;

  /**
   * @param {{core: () => any, asked: () => any, arrived: (result: any) => void, broken: (error: unknown) => void}} page
   *   its core, if it is there yet; all that tells the variant; what is done with what came of it, and with a core that gave up
   */
  constructor(page) {
    this.#page = page;
  }

  /** The next will have other programs than the last. */
  another() {
    this.#heavy = 0;
  }

  /**
   * Works the variant out, at once where that is quick. Otherwise the worker does it, and what is typed
   * meanwhile is worked out together afterwards.
   */
  soon() {
    if (this.#asking) this.#again = true;
    else if (this.#page.core() && this.#heavy < LONG) this.now();
    else {
      // Until then nothing of the variant before can be taken, ordered or printed.
      this.busy(true);
      if (this.#page.core()) void this.#ask();
    }
  }

  /** Has the variant worked out beside the page. */
  async #ask() {
    const begun = performance.now();
    const mine = ++this.#edition;
    [this.#asking, this.#again] = [true, false];
    const result = await this.#theirs();
    if (mine !== this.#edition) return;
    if (result === null) return this.now();
    if (this.#again) return this.#ask();
    this.#asking = false;
    this.#arrived(this.#beside, () => result, begun);
  }

  /** What the worker makes of it; nothing where there is none to be had, now and later. @returns {Promise<any>} */
  async #theirs() {
    try {
      if (this.#beside !== null) return await (this.#beside ??= new Beside()).make(this.#page.asked());
    } catch {
      this.#beside = null;
    }
    // The key waits then; what it wrote may be painted first.
    return new Promise((rest) => setTimeout(rest, 0, null));
  }

  /** Works the variant out here and now. */
  now() {
    this.#edition += 1;
    [this.#asking, this.#again] = [false, false];
    const { family, order } = this.#page.asked();
    if (family.name) this.#arrived(this.#page.core(), () => this.#page.core().make(order), performance.now());
    else this.busy(false);
  }

  /** @param {any} from @param {() => any} result @param {number} begun */
  #arrived(from, result, begun) {
    this.busy(false);
    try {
      const told = result();
      this.source = from;
      if (told.goods) this.#heavy = told.goods.runs.reduce((/** @type {number} */ sum, /** @type {any} */ run) => sum + run.text.length, 0);
      this.#page.arrived(told);
    } catch (error) {
      return this.#page.broken(error);
    }
    performance.measure('work', { start: begun });
  }

  /** @param {boolean} yes */
  busy(yes) {
    if (yes === (document.body.dataset.busy === 'yes')) return;
    document.body.dataset.busy = yes ? 'yes' : 'no';
    for (const part of document.querySelectorAll('.papers, .drawing')) part.toggleAttribute('inert', yes);
  }
}
