// The core behind plain objects. Nothing here knows a page: whatever shows parts starts from this.

import init, { Desk } from './barwright.js';

/** One load for everybody; a load that failed may be tried again. @type {Promise<void> | undefined} */
let loading;

/**
 * Loads the module once.
 * @param {string | URL | Request | BufferSource | WebAssembly.Module} [from] another place of it
 */
export function load(from) {
  loading ??= init(from === undefined ? undefined : { module_or_path: from }).then(
    () => undefined,
    (error) => {
      loading = undefined;
      throw error;
    },
  );
  return loading;
}

/** How many numbers tell of one move; the order stands at `Desk.motions`. */
export const STRIDE = 17;

/**
 * A family, a shop, and the last variant that was asked for.
 *
 * After a refusal there are no files, no moves and no archive: nothing of the variant before.
 */
export class Core {
  #desk = new Desk();

  /** @returns {{name: string, title: string, about: string}[]} */
  families() {
    return JSON.parse(this.#desk.families());
  }

  /**
   * @param {string} name of a built-in family, or of the file
   * @param {string} [text] of the file
   */
  openFamily(name, text) {
    return JSON.parse(this.#desk.openFamily(name, text));
  }

  /**
   * @param {Record<string, string>} [files] laid over those of the demo shop
   * @param {string} [control] name of a control profile
   */
  openShop(files, control) {
    return JSON.parse(this.#desk.openShop(files && JSON.stringify(files), control));
  }

  /**
   * @param {{unit?: 'mm' | 'in', like?: string, sizes: Record<string, string>}} order
   */
  make(order) {
    return JSON.parse(this.tell(order));
  }

  /** The same as text, for whoever hands it on. @param {{unit?: 'mm' | 'in', like?: string, sizes: Record<string, string>}} order */
  tell(order) {
    return this.#desk.make(JSON.stringify(order));
  }

  /** @param {number} run @returns {Float64Array} */
  motions(run) {
    return this.#desk.motions(run);
  }

  /** @returns {string[]} */
  files() {
    return JSON.parse(this.#desk.files());
  }

  /** @param {string} name @returns {Uint8Array | undefined} */
  file(name) {
    return this.#desk.file(name);
  }

  /** @returns {Uint8Array | undefined} */
  archive() {
    return this.#desk.archive();
  }
}
