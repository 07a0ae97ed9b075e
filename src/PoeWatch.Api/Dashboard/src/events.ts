// Server-sent events over fetch: the browser's own EventSource cannot send a key. Grammar: HTML standard, section "Server-sent events".

export interface StreamEvent {
  type: string;
  id: string | null;
  data: string;
}

/** Takes text as it arrives and gives the events that are complete. */
export class EventLines {
  #rest = '';
  #type = '';
  #data: string[] = [];
  #id: string | null = null;

  feed(text: string): StreamEvent[] {
    const events: StreamEvent[] = [];
    this.#rest += text;
    // A carriage return at the very end may be the first half of CRLF: it waits for the next piece.
    let at: RegExpExecArray | null;
    const lineEnd = /\r\n|\n|\r(?!$)/g;
    let from = 0;
    while ((at = lineEnd.exec(this.#rest)) !== null) {
      const event = this.#line(this.#rest.slice(from, at.index));
      if (event) events.push(event);
      from = at.index + at[0].length;
    }
    this.#rest = this.#rest.slice(from);
    return events;
  }

  #line(line: string): StreamEvent | null {
    if (line === '') {
      const event = this.#data.length > 0 ? { type: this.#type || 'message', id: this.#id, data: this.#data.join('\n') } : null;
      this.#type = '';
      this.#data = [];
      return event;
    }
    const colon = line.indexOf(':');
    if (colon === 0) return null;
    const field = colon < 0 ? line : line.slice(0, colon);
    const value = colon < 0 ? '' : line.slice(colon + 1).replace(/^ /, '');
    if (field === 'event') this.#type = value;
    else if (field === 'data') this.#data.push(value);
    else if (field === 'id' && !value.includes('\0')) this.#id = value;
    return null;
  }
}
