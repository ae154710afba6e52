/** What came of the sizes; `number`, `blank`, `mass`, `link` and `digest` are null while they are refused. */
export interface Variant {
  readonly number: string | null;
  /** Size by name, as text with its unit. */
  readonly sizes: Readonly<Record<string, string>>;
  /** What it is cut from, in words. */
  readonly blank: string | null;
  /** In grams. */
  readonly mass: number | null;
  readonly verdict: 'holds' | 'caution' | 'refused';
  readonly link: string | null;
  readonly digest: string | null;
}

export type File = 'drawing.svg' | 'drawing.pdf' | 'program' | 'part.json';

export interface BarwrightPartEvents {
  'barwright-ready': CustomEvent<Variant>;
  'barwright-error': CustomEvent<{ readonly message: string }>;
  /** At every keystroke. */
  input: CustomEvent<Variant>;
  /** When a size is left that was typed or stepped, and when one is chosen. */
  change: CustomEvent<Variant>;
}

/** A family of parts as a field of a form. */
export class BarwrightPart extends HTMLElement {
  static readonly formAssociated: true;
  /** Name of a built-in family. */
  family: string;
  name: string;
  /** The unit of bare numbers. Set later it leaves the part as it is. */
  units: 'mm' | 'in';
  /** Sizes that the shop chose, as `name=text&name=text`. */
  get fixed(): string;
  set fixed(sizes: string | null);
  /** Names of the sizes that can be chosen; nothing set: all. */
  get shown(): string;
  set shown(names: string | null);
  /** What is offered; nothing set: all. */
  get offer(): string;
  set offer(names: string | null);
  get loading(): 'eager' | 'lazy';
  set loading(how: 'eager' | 'lazy' | null);
  /** Typed sizes as `name=text&name=text`. */
  value: string;
  get sizes(): Record<string, string>;
  set sizes(sizes: Record<string, string | number>);
  disabled: boolean;
  /** `#family/unit?sizes`, to be put behind the address of a page of Barwright. */
  readonly link: string;
  readonly result: Variant | null;
  readonly form: HTMLFormElement | null;
  readonly labels: NodeList;
  readonly type: 'barwright-part';
  readonly validity: ValidityState;
  readonly validationMessage: string;
  readonly willValidate: boolean;
  checkValidity(): boolean;
  reportValidity(): boolean;
  /** The shop's own verdict; a refusal holds the form whatever it is. */
  setCustomValidity(message: string): void;
  /** Fetches the core now, whether or not the element is near the screen. */
  start(): Promise<void>;
  /** Prints the sheet at its true size. */
  print(): void;
  /** Gives a file to the visitor; false where it is refused or not offered. */
  download(what: File): Promise<boolean>;
  addEventListener<K extends keyof BarwrightPartEvents>(type: K, listener: (this: BarwrightPart, event: BarwrightPartEvents[K]) => unknown, options?: boolean | AddEventListenerOptions): void;
  addEventListener(type: string, listener: EventListenerOrEventListenerObject, options?: boolean | AddEventListenerOptions): void;
}

declare global {
  interface HTMLElementTagNameMap {
    'barwright-part': BarwrightPart;
  }
}
