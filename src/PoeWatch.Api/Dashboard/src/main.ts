// Puts the page together: reads the lists once, then lives on the stream.
import './style.css';
import { Agents } from './agents';
import { AlarmList } from './alarms';
import { all, follow, get, KeyNeeded, useKey } from './api';
import type { Alarm, Health, LiveEvent, Pole, Site } from './contract';
import { ConditionsPanel } from './conditions';
import { byId } from './dom';
import { Duty } from './duty';
import { startExport } from './evidence';
import { Groups } from './groups';
import { Masts, patterns } from './masts';
import { Planning } from './planning';
import { PolePanel } from './pole';
import { startReport } from './report';
import { gradeKey } from './signs';
import { urgency } from './words';

const historyEveryMs = 30_000;
const factsEveryMs = 2_000;
const groupsEveryMs = 10_000;

class Page {
  readonly #poles = new Map<string, Pole>();
  readonly #alarms = new Map<string, Alarm>();
  readonly #time: (iso: string) => string;
  readonly #masts = new Masts((id) => void this.#choose(id));
  readonly #panel: PolePanel;
  readonly #alarmList: AlarmList;
  readonly #conditions: ConditionsPanel;
  readonly #planning = new Planning();
  readonly #groups: Groups;
  readonly #agents: Agents;
  readonly #duty: Duty;
  #now = Date.now();
  #factsAt = 0;
  #reading: Promise<void> | null = null;

  constructor(site: Site) {
    const format = new Intl.DateTimeFormat('en-GB', { timeZone: site.timeZoneId, dateStyle: 'medium', timeStyle: 'medium' });
    this.#time = (iso) => `${format.format(new Date(iso))}${site.timeZoneId === 'UTC' ? ' UTC' : ''}`;
    this.#panel = new PolePanel(site.timeZoneId, this.#time);
    this.#alarmList = new AlarmList(site.timeZoneId, this.#time);
    this.#conditions = new ConditionsPanel(this.#time);
    this.#groups = new Groups(this.#time);
    this.#agents = new Agents(this.#time);
    this.#duty = new Duty(this.#time);
    byId('site-name').textContent = site.name;
    document.title = `${site.name}: PoeWatch`;
    startExport(() => this.#masts.chosen);
    startReport();
    window.setInterval(() => {
      void this.#quietly(this.#panel.renewHistory());
      void this.#quietly(this.#conditions.renew());
      void this.#quietly(this.#duty.renew());
    }, historyEveryMs);
    window.setInterval(() => {
      void this.#quietly(this.#groups.renew());
      void this.#quietly(this.#agents.renew());
    }, groupsEveryMs);
  }

  event(type: string, event: LiveEvent): void {
    this.#now = Date.parse(event.at);
    this.#healthWord(event.healthStatus);
    if (type === 'resync') {
      this.#reading ??= this.#readAll().finally(() => (this.#reading = null));
      void this.#quietly(this.#reading);
      return;
    }
    event.poles.forEach((pole) => this.#poles.set(pole.id, pole));
    event.alarms.forEach((alarm) => this.#alarms.set(alarm.id, alarm));
    event.goneAlarmIds.forEach((id) => this.#alarms.delete(id));
    this.#paint();
    const chosen = this.#masts.chosen;
    if (chosen && event.poles.some((p) => p.id === chosen) && Date.now() - this.#factsAt > factsEveryMs) {
      this.#factsAt = Date.now();
      void this.#quietly(this.#panel.show(chosen, false));
    }
  }

  async #readAll(): Promise<void> {
    const [poles, alarms, health] = await Promise.all([all<Pole>('headroom'), all<Alarm>('alarms'), get<Health>('health')]);
    this.#poles.clear();
    poles.forEach((pole) => this.#poles.set(pole.id, pole));
    this.#alarms.clear();
    alarms.forEach((alarm) => this.#alarms.set(alarm.id, alarm));
    this.#health(health);
    this.#paint();
    if (this.#masts.chosen) await this.#choose(this.#masts.chosen);
    await this.#groups.renew();
    await this.#agents.renew();
    await this.#conditions.renew();
    await this.#duty.renew();
    await this.#planning.start();
  }

  #paint(): void {
    this.#masts.show(this.#poles);
    this.#alarmList.show(this.#alarms, this.#now);
    const pressing = [...this.#poles.values()].filter((p) => urgency(p.grade) === 2).length;
    const unknown = [...this.#poles.values()].filter((p) => p.grade === 'unknown' && p.cableRunCount > 0).length;
    const active = [...this.#alarms.values()].filter((a) => !a.isCleared).length;
    const words = `${this.#poles.size} ${this.#poles.size === 1 ? 'pole' : 'poles'}: ${pressing === 0 ? 'none' : pressing} out of room${unknown > 0 ? `, ${unknown} unknown` : ''}. ${active === 0 ? 'No' : active} active ${active === 1 ? 'alarm' : 'alarms'}.`;
    // Read aloud only when it says something new.
    if (byId('summary').textContent !== words) byId('summary').textContent = words;
  }

  async #choose(id: string): Promise<void> {
    await this.#quietly(this.#panel.show(id, true));
  }

  #health(health: Health): void {
    const ill = health.parts.filter((p) => p.status !== 'good');
    this.#healthWord(health.status, ill.map((p) => `${p.part}: ${p.detail}`).join(' '));
  }

  #healthWord(status: string, detail?: string): void {
    const line = byId('health');
    if (line.dataset['status'] === status && detail === undefined) return;
    line.dataset['status'] = status;
    line.textContent = status === 'good' ? 'The service is well.' : `The service is ${status}. ${detail ?? ''}`;
    if (status !== 'good' && detail === undefined) void this.#quietly(get<Health>('health').then((h) => this.#health(h)));
  }

  async #quietly(work: Promise<void>): Promise<void> {
    try {
      await work;
    } catch (e) {
      if (e instanceof KeyNeeded) askForKey();
      else byId('health').textContent = (e as Error).message;
    }
  }
}

function askForKey(): void {
  byId('key-form').hidden = false;
  byId('summary').textContent = 'The service asks for a key.';
  byId('key-input').focus();
}

function lineState(words: string, isUp: boolean): void {
  const line = byId('line');
  line.textContent = isUp ? `● ${words}` : `○ ${words}`;
  document.body.classList.toggle('line-down', !isUp);
}

async function start(): Promise<void> {
  byId('key-form').hidden = true;
  let page: Page;
  try {
    page = new Page(await get<Site>('site'));
  } catch (e) {
    if (e instanceof KeyNeeded) askForKey();
    else byId('summary').textContent = (e as Error).message;
    return;
  }
  await follow({ event: (type, event) => page.event(type, event), state: lineState, keyNeeded: askForKey });
}

document.body.prepend(patterns());
byId('signs').append(gradeKey());
byId<HTMLFormElement>('key-form').addEventListener('submit', (e) => {
  e.preventDefault();
  useKey(byId<HTMLInputElement>('key-input').value);
  // A fresh page with the key: nothing of the failed start stays behind.
  window.location.reload();
});
void start();
