// The switches as their agents tell of themselves: whether they answer, what is odd, what happened to them, and their ports with interface and neighbour.
import { all, get } from './api';
import type { AgentChange, Switch, SwitchDetail } from './contract';
import { byId, h, table } from './dom';
import { agentIn, changeIn, findingIn, interfaceIn, neighboursIn, originIn, stateOf } from './ports';
import { drawIn } from './words';

const agentsMax = 200;

export class Agents {
  readonly #box = byId('agent-list');
  readonly #open = new Set<string>();
  readonly #bodies = new Map<string, HTMLElement>();
  readonly #time: (iso: string) => string;

  constructor(time: (iso: string) => string) {
    this.#time = time;
  }

  async renew(): Promise<void> {
    const switches = (await all<Switch>('switches')).sort(pressing);
    const now = Date.now();
    this.#box.replaceChildren(...switches.slice(0, agentsMax).map((one) => this.#row(one, now)));
    if (switches.length > agentsMax) this.#box.append(h('p', { class: 'quiet' }, `The first ${agentsMax} of ${switches.length}.`));
    await Promise.all(switches.slice(0, agentsMax).filter((one) => this.#open.has(one.id)).map((one) => this.#load(one.id)));
  }

  #row(one: Switch, now: number): HTMLElement {
    const body = this.#bodies.get(one.id) ?? h('div', {}, h('p', { class: 'quiet' }, 'Reading…'));
    this.#bodies.set(one.id, body);
    const line = agentIn(one.agent, now);
    const row = h(
      'details', { class: 'agent', open: this.#open.has(one.id), 'data-agent': one.id },
      h('summary', {}, h('strong', {}, one.name), ' ', isOdd(one) ? h('span', { class: 'warn' }, line) : line),
      body,
    );
    row.addEventListener('toggle', () => {
      if (row.open === this.#open.has(one.id)) return;
      if (row.open) this.#open.add(one.id);
      else this.#open.delete(one.id);
      if (row.open) void this.#load(one.id);
    });
    return row;
  }

  async #load(id: string): Promise<void> {
    const [detail, changes] = await Promise.all([
      get<SwitchDetail>(`switches/${encodeURIComponent(id)}`), all<AgentChange>(`agent-changes?pse=${encodeURIComponent(id)}`, 200),
    ]);
    this.#bodies.get(id)?.replaceChildren(
      ...detail.switch.agent.findings.map((f) => h('p', { class: 'warn' }, h('strong', {}, `${findingIn(f.kind)}: `), f.text)),
      h('div', { class: 'scroll', tabindex: '0', role: 'region', 'aria-label': `Ports of ${detail.switch.name}` }, table(
        `Ports, asked every ${detail.switch.agent.pollPeriodSeconds} s at ${detail.switch.agent.address}`,
        ['Port', 'State', 'Draws', 'How that is known', 'Interface', 'Neighbour by LLDP'],
        detail.ports.map((port) => [
          port.portRef.slice(port.portRef.lastIndexOf(':') + 1),
          stateOf(port),
          drawIn(port.draw),
          originIn(port),
          port.interface === null ? 'not mapped' : h('span', {}, interfaceIn(port.interface), ' ', h('span', { class: 'quiet' }, `(${port.interface.evidence})`)),
          neighboursIn(port.interface),
        ]),
      )),
      changes.length === 0
        ? h('p', { class: 'quiet' }, 'Nothing happened to its agent in the last seven days.')
        : table('What happened to its agent in the last seven days, newest first', ['When', 'What', 'Seen'],
          [...changes].reverse().map((change) => [this.#time(change.at), changeIn(change.kind), change.text])),
    );
  }
}

function isOdd(one: Switch): boolean {
  return one.agent.outcome !== 'answered' && one.agent.outcome !== 'unknown' || one.agent.findings.length > 0;
}

/** Odd ones first, then by name. */
function pressing(a: Switch, b: Switch): number {
  return Number(isOdd(b)) - Number(isOdd(a)) || a.name.localeCompare(b.name);
}
