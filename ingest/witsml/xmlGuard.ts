/**
 * XML as a stream of elements with caps of its own: whatever is not plain elements and text of bounded size is refused.
 *
 * X1 A document type is refused, so that no entity is ever declared, let alone expanded or fetched; the parser (saxes) knows
 *    the five entities of XML alone and reads neither file nor network.
 * X2 Elements are at most `depth` deep; a piece of markup or text is at most `characters` long, wherever it is cut.
 * X3 What is not well-formed ends the reading at that place; the elements before it stand.
 */
import { SaxesParser, type SaxesTagNS } from 'saxes';

export const XML_LIMITS = { depth: 64, characters: 256 * 1024, attributes: 256 } as const;

export interface XmlHandlers {
  open(tag: SaxesTagNS): void;
  text(text: string): void;
  close(tag: SaxesTagNS): void;
}

const SLICE_CHARACTERS = 2048;
const PARSER_PLACE = /^\d+:\d+: /;

export class XmlGuard {
  /** One line, why the document is not read any further; null while it is. */
  refusal: string | null = null;
  private readonly parser = new SaxesParser({ xmlns: true, position: true });
  private depth = 0;
  private attributes = 0;
  /** Characters before the markup or text that is being read. */
  private since = 0;
  private fed = 0;

  constructor(handlers: XmlHandlers) {
    const { parser } = this;
    parser.on('doctype', () => this.refuse('a document type (DOCTYPE)', 'none'));
    parser.on('error', (error) => this.refuse(error.message.replace(PARSER_PLACE, ''), 'well-formed XML'));
    parser.on('opentagstart', () => this.opened());
    parser.on('attribute', () => this.attribute());
    parser.on('opentag', (tag) => this.pass(() => handlers.open(tag)));
    parser.on('closetag', (tag) => this.pass(() => this.closed(handlers, tag)));
    parser.on('text', (text) => this.pass(() => handlers.text(text)));
    parser.on('cdata', (text) => this.pass(() => handlers.text(text)));
    parser.on('comment', () => this.pass(() => {}));
    parser.on('processinginstruction', () => this.pass(() => {}));
    parser.on('xmldecl', () => this.pass(() => {}));
  }

  /** The document is given up for a reason of its reader; the first reason stands. */
  refuse(found: string, expected: string): void {
    this.refusal ??= `line ${this.parser.line}: found ${found}, expected ${expected}`;
  }

  push(text: string): void {
    // In slices, since the parser goes on behind an error to the end of what it was given.
    for (let from = 0; from < text.length && this.refusal === null; from += SLICE_CHARACTERS) {
      const slice = text.slice(from, from + SLICE_CHARACTERS);
      this.parser.write(slice);
      this.fed += slice.length;
      this.measure(this.fed);
    }
  }

  end(): void {
    if (this.refusal === null) this.parser.close();
  }

  private opened(): void {
    this.depth++;
    this.attributes = 0;
    if (this.depth > XML_LIMITS.depth) this.refuse(`elements ${this.depth} deep`, `at most ${XML_LIMITS.depth}`);
  }

  private attribute(): void {
    this.attributes++;
    if (this.attributes > XML_LIMITS.attributes) {
      this.refuse(`more than ${XML_LIMITS.attributes} attributes of one element`, 'fewer');
    }
  }

  private closed(handlers: XmlHandlers, tag: SaxesTagNS): void {
    this.depth--;
    handlers.close(tag);
  }

  private pass(tell: () => void): void {
    const { position } = this.parser;
    this.measure(position);
    this.since = position;
    if (this.refusal === null) tell();
  }

  /** X2. */
  private measure(position: number): void {
    if (position - this.since > XML_LIMITS.characters) {
      this.refuse(`markup or text of more than ${XML_LIMITS.characters} characters`, 'a shorter one');
    }
  }
}
