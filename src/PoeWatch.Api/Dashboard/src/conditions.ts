// What holds now and how that is known, and which load cases count for it.
import { get } from './api';
import type { Conditions } from './contract';
import { byId, h, table } from './dom';
import { caseIn, conditionIn, sourceIn, stateIn, worstIn } from './known';

export class ConditionsPanel {
  readonly #box = byId('conditions-box');
  readonly #time: (iso: string) => string;

  constructor(time: (iso: string) => string) {
    this.#time = time;
  }

  async renew(): Promise<void> {
    this.#show(await get<Conditions>('conditions'));
  }

  #show(known: Conditions): void {
    const { air } = known;
    this.#box.replaceChildren(
      h('p', { class: 'lead' }, worstIn(known.worstDemands, 'the site')),
      h('div', { class: 'scroll', tabindex: '0', role: 'region', 'aria-label': 'Load cases' }, table(
        'Which load cases count', ['Load case', 'May be so now', 'Can still come today', 'Can still come this season'], known.loadCases.map(caseIn))),
      h('div', { class: 'scroll', tabindex: '0', role: 'region', 'aria-label': 'Conditions' }, table(
        'What holds now, and how that is known', ['Condition', 'Holds', 'How it is known'], [
          ...known.conditions.map((c) => [conditionIn(c.condition), stateIn(c.state), sourceIn(c.source, this.#time)]),
          ['Air in the open', air.airCelsius === null ? 'not known' : celsius(air.airCelsius), sourceIn(air.source, this.#time)],
          ...known.thermometers.map((t) => [
            `Thermometer ${t.id}${t.cabinet === null ? '' : `, in ${t.cabinet}`}`,
            t.shownCelsius === null ? 'not known' : celsius(t.shownCelsius),
            t.problem || `read ${t.readAt === null ? 'never' : this.#time(t.readAt)}`,
          ]),
        ])),
    );
  }
}

function celsius(value: number): string {
  return `${value.toFixed(1).replace('-', '−')} °C`;
}
