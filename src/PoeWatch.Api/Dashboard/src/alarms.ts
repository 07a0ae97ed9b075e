// The alarm list with what an operator can do.
import { get, post } from './api';
import { captionOf, Chart } from './chart';
import type { Alarm, Series } from './contract';
import { byId, h } from './dom';
import { severityLabel } from './signs';
import { ago, stepsOf } from './words';

const rank: Record<Alarm['severity'], number> = { critical: 0, major: 1, minor: 2, warning: 3, unknown: 4 };
const actions: [string, string][] = [['ack', 'Acknowledge'], ['shelved', 'Shelve'], ['un-shelved', 'Un-shelve'], ['closed', 'Close']];

export class AlarmList {
  readonly #list = byId<HTMLUListElement>('alarm-list');
  readonly #cleared = byId<HTMLInputElement>('show-cleared');
  readonly #time: (iso: string) => string;
  readonly #zone: string;
  #linked = '';
  #alarms: ReadonlyMap<string, Alarm> = new Map();
  #now = Date.now();

  constructor(zone: string, time: (iso: string) => string) {
    this.#zone = zone;
    this.#time = time;
    window.addEventListener('hashchange', () => {
      this.#linked = '';
      this.#openLinked();
    });
    this.#cleared.addEventListener('change', () => this.show(this.#alarms, this.#now));
  }

  show(alarms: ReadonlyMap<string, Alarm>, now: number): void {
    this.#alarms = alarms;
    this.#now = now;
    const shown = [...alarms.values()]
      .filter((a) => this.#cleared.checked || !a.isCleared)
      .sort((a, b) => Number(a.isCleared) - Number(b.isCleared) || rank[a.severity] - rank[b.severity] || b.raisedAt.localeCompare(a.raisedAt));
    const old = new Map([...this.#list.children].map((e) => [(e as HTMLElement).dataset['key'] ?? '', e]));
    const items = shown.map((alarm) => {
      const key = `${JSON.stringify(alarm)}`;
      const item = old.get(key) ?? this.#item(alarm, key);
      item.querySelector('.age')!.textContent = `${alarm.isCleared ? 'cleared' : 'raised'} ${ago((now - Date.parse(alarm.isCleared ? alarm.changedAt : alarm.raisedAt)) / 1000)}`;
      return item;
    });
    if (items.length === 0) items.push(h('li', { class: 'none' }, this.#cleared.checked ? 'No alarms.' : 'No active alarm.'));
    if (items.length !== this.#list.children.length || items.some((item, i) => item !== this.#list.children[i])) {
      // An alarm that somebody writes about stays where it is until they have done.
      if (!this.#list.querySelector('details[open]')?.contains(document.activeElement)) this.#list.replaceChildren(...items);
    }
    this.#openLinked();
  }

  /** Somebody came by the link of an alarm: its chart is opened, once. */
  #openLinked(): void {
    const id = new URLSearchParams(window.location.hash.slice(1)).get('alarm') ?? '';
    const alarm = this.#alarms.get(id);
    if (id === this.#linked || !alarm) return;
    this.#linked = id;
    if (alarm.isCleared && !this.#cleared.checked) {
      this.#cleared.checked = true;
      this.show(this.#alarms, this.#now);
    }
    const chart = this.#list.querySelector<HTMLDetailsElement>(`details[data-chart="${CSS.escape(id)}"]`);
    if (!chart) return;
    chart.open = true;
    chart.closest('li')?.scrollIntoView({ block: 'center' });
  }

  #chart(alarm: Alarm): HTMLElement {
    const box = h('div', { class: 'chart' });
    const caption = h('p', { class: 'caption' }, 'Reading the history…');
    const details = h(
      'details', { 'data-chart': alarm.id }, h('summary', {}, `Chart of ${alarm.chart.subject} at the time`),
      h('figure', {}, box, h('figcaption', {}, caption)), h('p', { class: 'quiet' }, h('a', { href: alarm.chart.pageFragment }, 'Link to this chart')),
    );
    let chart: Chart | null = null;
    details.addEventListener('toggle', () => {
      if (!details.open) return;
      chart ??= new Chart(box, this.#zone);
      get<Series>(alarm.chart.historyPath).then(
        (series) => {
          chart?.show(series);
          caption.textContent = `Raised ${this.#time(alarm.raisedAt)}. ${captionOf(series)}`;
        },
        (e: Error) => (caption.textContent = e.message),
      );
    });
    return details;
  }

  #item(alarm: Alarm, key: string): HTMLElement {
    const words = h('input', { id: `words-${alarm.id}`, maxlength: 1000, autocomplete: 'off' });
    const note = h('p', { class: 'quiet', role: 'status' });
    const until = h('input', { id: `until-${alarm.id}`, type: 'datetime-local' });
    const buttons: HTMLButtonElement[] = actions.filter(([state]) => state !== alarm.operatorState).map(([state, name]) => {
      const button = h('button', { type: 'button' }, name);
      button.addEventListener('click', () => void this.#send(`${alarm.id}/operator-state`, state === 'shelved' && until.value ? { state, text: words.value, until: isoOf(until.value) } : { state, text: words.value }, note, button));
      return button;
    });
    const more = (name: string, path: string, body: () => unknown): void => {
      const button = h('button', { type: 'button' }, name);
      button.addEventListener('click', () => void this.#send(`${alarm.id}/${path}`, body(), note, button));
      buttons.push(button);
    };
    if (alarm.operatorState !== 'shelved') more('Accept until then', 'acceptance', () => ({ reason: words.value, until: until.value ? isoOf(until.value) : null }));
    more('Add a note', 'notes', () => ({ text: words.value }));
    return h(
      'li', { class: `alarm ${alarm.isCleared ? 'cleared' : ''}`, 'data-key': key },
      h('p', { class: 'alarm-head' }, severityLabel(alarm.severity), ' ', h('strong', {}, alarm.resource), ` ${alarm.type}`,
        alarm.isStanding ? h('span', { class: 'tag' }, 'standing') : null, alarm.isCleared ? h('span', { class: 'tag' }, 'cleared') : null,
        alarm.quietBecause ? h('span', { class: 'tag' }, alarm.quietBecause) : null,
        h('span', { class: 'age quiet', title: this.#time(alarm.raisedAt) })),
      h('p', {}, alarm.text),
      h('details', { class: 'what-to-do' }, h('summary', {}, 'Likely causes, what to do, and the caution'),
        h('p', { class: 'quiet' }, alarm.meaning), h('ol', { class: 'steps' }, ...alarm.likelyCauses.map((cause) => h('li', {}, cause))), h('ul', { class: 'steps' }, ...stepsOf(alarm.nextSteps).map((step) => h('li', {}, step)))),
      this.#chart(alarm),
      alarm.operatorState === 'none' ? null
        : h('p', { class: 'operator' }, `${alarm.isAccepted ? 'accepted' : alarm.operatorState}${alarm.operatorName ? ` by ${alarm.operatorName}` : ''}${alarm.operatorText ? `: “${alarm.operatorText}”` : ''}${alarm.shelvedUntil ? `, until ${this.#time(alarm.shelvedUntil)}` : ''}`),
      h('details', {}, h('summary', {}, alarm.operatorState === 'none' ? 'Acknowledge…' : 'Change…'),
        h('p', { class: 'field' }, h('label', { for: words.id }, 'For the next shift (may stay empty)'), words),
        h('p', { class: 'field' }, h('label', { for: until.id }, 'Shelve or accept until (a shelf without it: 8 h)'), until), h('p', { class: 'buttons' }, ...buttons), note),
    );
  }

  async #send(path: string, body: unknown, note: HTMLElement, button: HTMLButtonElement): Promise<void> {
    button.disabled = true;
    try {
      const [id, ...rest] = path.split('/');
      await post(`alarms/${encodeURIComponent(id!)}/${rest.join('/')}`, body);
      note.textContent = 'Done and kept.';
      button.blur();
    } catch (e) {
      note.textContent = `Not done. ${(e as Error).message}`;
    } finally {
      button.disabled = false;
    }
  }
}

/** What a person picks is in the time of their own desk. */
function isoOf(local: string): string {
  return new Date(local).toISOString();
}
