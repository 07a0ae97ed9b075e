// The budgets of the switches: what each group can give, has set aside and gives, its supplies and battery, and whom it would cut.
import { all, get } from './api';
import { asideIn, barOf, batteryIn, fateOf, suppliesIn, tellsIn } from './budget';
import type { Group, GroupDetail, Switch, Ups } from './contract';
import { byId, h, svg, table } from './dom';
import { gradeLabel } from './signs';
import { drawIn, leftIn, urgency, watts } from './words';

const groupsMax = 60;

interface Shown { pse: Switch; group: Group }

export class Groups {
  readonly #box = byId('group-list');
  readonly #open = new Set<string>();
  readonly #details = new Map<string, HTMLElement>();
  readonly #time: (iso: string) => string;

  constructor(time: (iso: string) => string) {
    this.#time = time;
  }

  async renew(): Promise<void> {
    const [switches, upsUnits] = await Promise.all([all<Switch>('switches'), all<Ups>('ups')]);
    const shown = switches.flatMap((pse) => pse.groups.map((group) => ({ pse, group }))).sort(order);
    this.#box.replaceChildren(...shown.slice(0, groupsMax).map((one) => this.#card(one, upsUnits)));
    if (shown.length > groupsMax) this.#box.append(h('p', { class: 'quiet' }, `The first ${groupsMax} of ${shown.length} groups.`));
    await Promise.all(shown.slice(0, groupsMax).filter((one) => this.#open.has(keyOf(one))).map((one) => this.#load(one)));
  }

  #card(one: Shown, upsUnits: Ups[]): HTMLElement {
    const { pse, group } = one;
    const key = keyOf(one);
    const box = this.#details.get(key) ?? h('div', {});
    this.#details.set(key, box);
    const more = group.account === null ? null
      : h('details', { open: this.#open.has(key) }, h('summary', {}, 'Who loses power first'), box);
    more?.addEventListener('toggle', () => {
      if (more.open === this.#open.has(key)) return;
      if (more.open) this.#open.add(key);
      else this.#open.delete(key);
      if (more.open) void this.#load(one);
    });
    return h(
      'article', { class: `group urgency-${urgency(group.grade)}`, 'data-group': key },
      h('h3', {}, `${pse.name}${pse.groups.length > 1 ? `, group ${group.groupNumber}` : ''}`, gradeLabel(group.grade)),
      h('p', { class: 'lead' }, group.headroomW === null ? 'unknown' : `${leftIn(group.headroomW, group.headroomAtLeast)} ${group.headroomW < 0 ? 'for' : 'of'} its budget`),
      bar(group),
      facts(group, upsUnits.find((ups) => ups.id === group.account?.upsId), this.#time),
      more,
    );
  }

  async #load(one: Shown): Promise<void> {
    const detail = await get<GroupDetail>(`groups/${encodeURIComponent(one.pse.id)}/${one.group.groupNumber}`);
    this.#details.get(keyOf(one))?.replaceChildren(...shedding(detail));
  }
}

/** Least room first, as a share of the capacity: the names alone decide between equals. */
function order(a: Shown, b: Shown): number {
  const room = (one: Shown): number => (one.group.headroomW ?? one.group.budgetW) / one.group.budgetW;
  return urgency(b.group.grade) - urgency(a.group.grade) || room(a) - room(b) || keyOf(a).localeCompare(keyOf(b));
}

function keyOf(one: Shown): string {
  return `${one.pse.id}:${one.group.groupNumber}`;
}

function bar(group: Group): SVGElement {
  const shape = barOf(group);
  const share = (value: number): string => `${(value * 100).toFixed(2)}%`;
  const fill = group.draw.drawAtPseW !== null ? 'drawn-solid' : 'drawn-hatched';
  const tick = (at: number, kind: string): SVGElement => svg('line', { class: kind, x1: share(at), x2: share(at), y1: 1, y2: 33 });
  return svg(
    'svg', { class: 'group-bar', role: 'img', 'aria-label': `${watts(group.budgetW)} capacity, drawn ${drawIn(group.draw)}, set aside ${asideIn(group)}` },
    svg('rect', { class: `drawn ${fill}`, x: 0, y: 8, width: share(shape.drawn), height: 18 }),
    shape.capacity > shape.guardFrom && svg('rect', { class: 'bar-guard', x: share(shape.guardFrom), y: 8, width: share(shape.capacity - shape.guardFrom), height: 18 }),
    svg('rect', { class: 'bar-frame', x: '0.3%', y: 8, width: share(shape.capacity - 0.006), height: 18 }),
    shape.aside !== null && tick(shape.aside, 'bar-aside'),
    shape.afterLoss !== null && shape.afterLoss < shape.capacity && tick(shape.afterLoss, 'bar-loss'),
  );
}

function facts(group: Group, ups: Ups | undefined, time: (iso: string) => string): HTMLElement {
  const account = group.account;
  const supplies = suppliesIn(group);
  const says = ups?.tells ? tellsIn(ups.tells, time) : null;
  const rows: [string, Node | string | null][] = [
    ['Capacity', `${watts(group.budgetW)}${account && account.guardBandW > 0 ? `, ${watts(account.guardBandW)} of it guard band` : ''}`],
    ['Drawn', drawIn(group.draw)],
    ['Set aside', account && asideIn(group)],
    ['Asked for', account && `${watts(account.requestedW)} by class`],
    ['Still to come', account && `${watts(account.worstDemandW)} in ${account.worstLoadCaseId}, by design`],
    ['Binds first', account && (account.bindingLimit ?? account.worstBindingLimit).sentence],
    ['Supplies', supplies],
    ['Battery', ups ? batteryIn(ups) : null],
    ['The UPS says', says && (ups?.tells?.isOnBattery ? h('strong', { class: 'warn' }, says) : says)],
  ];
  return h('dl', {}, ...rows.flatMap(([name, words]) => words === null ? [] : [h('dt', {}, name), h('dd', {}, words)]));
}

function shedding(detail: GroupDetail): Node[] {
  const wrong = new Map(detail.conflicts.map((c) => [c.portRef, c.keptLongerPortRef]));
  const notes = detail.isPriorityKnown ? '' : ' The switch does not tell its priorities: this is the order of the design.';
  const room = detail.extraOnRunsW === null || detail.extraOnRunsLimit === null ? null
    : h('p', {}, `Its runs can take ${detail.extraOnRunsW < 0 ? 'nothing' : watts(detail.extraOnRunsW)} more at the switch in the worst load case. ${detail.extraOnRunsLimit.sentence}`);
  return [
    ...(room ? [room] : []),
    ...detail.coldStarts.map((start) => h('p', {}, `After an outage (${start.loadCaseId}): ${start.startSentence}`)),
    ...[...wrong].map(([port, kept]) => h('p', { class: 'warn' }, `${port} is more critical by design than ${kept}, which keeps power longer.`)),
    h('div', { class: 'scroll' }, table(
      `First cut first.${notes}`,
      ['Port', 'Priority', 'By design', 'Counts', detail.afterSupplyLoss ? 'If the largest supply is lost' : 'Now'],
      detail.shedOrder.map((port) => [
        port.portRef.slice(port.portRef.lastIndexOf(':') + 1),
        `${port.priority}${port.isPriorityRead ? '' : ' (design)'}`,
        wrong.has(port.portRef) ? h('strong', {}, port.designedCriticality) : port.designedCriticality,
        watts(port.reserveW),
        fateOf(detail, port.portRef, port.isFed),
      ]),
      [3],
    )),
  ];
}
