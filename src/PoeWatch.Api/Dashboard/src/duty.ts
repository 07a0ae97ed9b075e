// Announced work, and how many alarms this service makes against what the trade aims at.
import { get, post, remove } from './api';
import type { AlarmFigures, Maintenance } from './contract';
import { byId, h, table } from './dom';

export class Duty {
  readonly #windows = byId('maintenance-list');
  readonly #figures = byId('figures-box');
  readonly #note = byId('maintenance-note');
  readonly #time: (iso: string) => string;

  constructor(time: (iso: string) => string) {
    this.#time = time;
    byId<HTMLFormElement>('maintenance-form').addEventListener('submit', (event) => {
      event.preventDefault();
      void this.#announce();
    });
  }

  async renew(): Promise<void> {
    const [windows, figures] = await Promise.all([get<Maintenance[]>('maintenance'), get<AlarmFigures>('alarm-figures')]);
    this.#show(windows);
    this.#figures.replaceChildren(
      h('p', { class: 'lead' }, `${figures.raisedCount} alarms called somebody since ${this.#time(figures.from)}.`),
      h('div', { class: 'scroll', tabindex: '0', role: 'region', 'aria-label': 'Own measures' }, table(
        'Own measures', ['Measure', 'Value', 'Target', 'Met', 'Source of the target'],
        figures.measures.map((m) => [m.measure, `${m.value} ${m.unit}`, m.target, m.isMet ? 'yes' : h('strong', {}, 'no'), m.source]), [1])),
      figures.top.length === 0 ? '' : h('div', { class: 'scroll', tabindex: '0', role: 'region', 'aria-label': 'Most frequent alarms' }, table(
        'Most frequent alarms', ['Alarm', 'Times', 'Share'], figures.top.map((t) => [t.id.replaceAll('~', '/'), String(t.raisedCount), `${t.sharePercent.toFixed(1)} %`]), [1, 2])),
    );
  }

  #show(windows: Maintenance[]): void {
    const open = windows.filter((w) => w.state === 'announced' || w.state === 'in-force');
    this.#windows.replaceChildren(...open.map((w) => {
      const button = h('button', { type: 'button' }, 'End now');
      button.addEventListener('click', () => void this.#do(remove(`maintenance/${encodeURIComponent(w.id)}`), 'Ended.'));
      return h('li', {}, h('strong', {}, w.scope), ` ${w.state === 'in-force' ? 'in force' : 'announced'}, ${this.#time(w.from)} to ${this.#time(w.to)}, ${w.who}${w.isOfDesign ? ' (in the design)' : ''}: “${w.reason}” `, button);
    }));
    if (open.length === 0) this.#windows.append(h('li', { class: 'none' }, 'No work is announced.'));
  }

  async #announce(): Promise<void> {
    const value = (id: string): string => byId<HTMLInputElement>(id).value;
    const iso = (id: string): string | null => (value(id) ? new Date(value(id)).toISOString() : null);
    await this.#do(
      post('maintenance', { scope: value('maintenance-scope'), from: iso('maintenance-from'), to: iso('maintenance-to'), reason: value('maintenance-reason') }), 'Announced and kept.');
  }

  async #do(call: Promise<unknown>, done: string): Promise<void> {
    try {
      await call;
      this.#note.textContent = done;
      await this.renew();
    } catch (e) {
      this.#note.textContent = `Not done. ${(e as Error).message}`;
    }
  }
}
