// The bar of a group's budget and its words. Pure: tested without a browser.
import type { Group, GroupDetail, Ups, UpsTells } from './contract';
import { ago, lasting, watts } from './words';

export interface BudgetBar {
  /** Shares of the bar, 0 to 1; the bar is as long as the capacity, or as what flows where that is more. */
  drawn: number;
  guardFrom: number;
  capacity: number;
  aside: number | null;
  afterLoss: number | null;
}

/** Where the parts of a group's bar end. What flows may be more than the capacity: then the frame ends before the bar does. */
export function barOf(group: Group): BudgetBar {
  const account = group.account;
  const flows = group.draw.drawAtPseW ?? group.draw.ceilingAtPseW ?? 0;
  const full = Math.max(group.budgetW, flows, account?.allocatedW ?? 0, 1e-9);
  return {
    drawn: flows / full,
    guardFrom: (group.budgetW - (account?.guardBandW ?? 0)) / full,
    capacity: group.budgetW / full,
    aside: account?.allocatedW == null ? null : account.allocatedW / full,
    afterLoss: account?.supplies == null ? null : Math.max(0, account.supplies.afterLossW) / full,
  };
}

const policies: Record<string, string> = { 'by-draw': 'by draw', 'by-class': 'by class', 'by-limit': 'by configured limit' };

export function asideIn(group: Group): string {
  const account = group.account;
  if (account === null) return 'only a total limit is known';
  const policy = policies[account.policy] ?? account.policy;
  if (account.allocatedW === null || account.allocationHeadroomW === null) return `unknown (${policy})`;
  const left = account.allocationHeadroomW;
  return `${watts(account.allocatedW)} ${policy}, ${left < 0 ? `${watts(-left)} too much` : `${watts(left)} left`}`;
}

export function suppliesIn(group: Group): string | null {
  const supplies = group.account?.supplies;
  if (!supplies) return null;
  const kind = supplies.redundancy === 'n-plus-1' ? 'one more than needed (N+1)' : 'all needed';
  const loss = supplies.survivesLossNow === false ? 'ports would go off now'
    : !supplies.survivesLossByDesign ? 'ports would go off in the worst case'
      : 'every port stays fed';
  return `${supplies.supplyCount}, ${kind}, ${watts(supplies.allW)} for ports; with the largest lost ${watts(supplies.afterLossW)}: ${loss}`;
}

export function batteryIn(ups: Ups): string {
  const now = ups.runtimeSeconds === null ? 'unknown at this draw' : `${ups.runtimeAtLeast ? 'at least ' : ''}${lasting(ups.runtimeSeconds)} at this draw`;
  const worst = ups.worstRuntimeSeconds === null ? '' : `, ${lasting(ups.worstRuntimeSeconds)} in ${ups.worstLoadCaseId}`;
  const wanted = ups.wantedRuntimeSeconds === null ? '' : `; ${lasting(ups.wantedRuntimeSeconds)} wanted${ups.isShortByDesign ? ': too short' : ''}`;
  return `${now}${worst}${wanted} (${ups.name})`;
}

const sources: Record<string, string> = {
  normal: 'on mains',
  bypass: 'on mains past its inverter (bypass): no battery would take over',
  booster: 'on mains, raising its voltage',
  reducer: 'on mains, lowering its voltage',
  none: 'without output',
};

/** What a UPS says of itself, always with its age; whoever shows it says whose word it is. */
export function tellsIn(tells: UpsTells, time: (iso: string) => string): string {
  const read = tells.ageSeconds === null ? '' : ` (read ${ago(tells.ageSeconds)})`;
  if (tells.isOnBattery === null && tells.source === 'unknown') return `nothing${tells.problem ? `: ${tells.problem}` : ' yet'}${read}`;
  const state = tells.isOnBattery ? `on battery${tells.onBatterySince === null ? '' : ` since ${time(tells.onBatterySince)}`}` : sources[tells.source] ?? 'another source';
  const parts = [
    state,
    tells.remainingSeconds === null ? null : `${lasting(tells.remainingSeconds)} left${tells.isOnBattery ? '' : ' if the mains went'}`,
    tells.battery === 'low' || tells.battery === 'depleted' ? `battery ${tells.battery}` : null,
    tells.chargePercent === null ? null : `${tells.chargePercent} % charged`,
    tells.loadPercent === null ? null : `${tells.loadPercent} % load`,
    tells.outputW === null ? null : `${watts(tells.outputW)} out`,
  ];
  return `${parts.filter((part) => part !== null).join(', ')}${read}${tells.problem ? `. The last question failed: ${tells.problem}` : ''}`;
}

/** What the loss of the largest supply does to a port that is fed now. */
export function fateOf(detail: GroupDetail, portRef: string, isFed: boolean): string {
  const plan = detail.afterSupplyLoss;
  if (!isFed) return 'not fed now';
  if (plan === null) return 'fed';
  if (plan.comingBackPortRefs.includes(portRef)) return 'off and on again';
  return plan.droppedPortRefs.includes(portRef) ? 'goes off' : 'stays fed';
}
