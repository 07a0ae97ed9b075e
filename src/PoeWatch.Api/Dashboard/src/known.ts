// What is known of the conditions and how, in words. Pure: tested without a browser.
import type { ConditionSource, ConditionState, LoadCaseState, WorstDemands } from './contract';
import { ago, watts } from './words';

const names: Record<string, string> = {
  dark: 'Dark',
  cold: 'Cold enough for heaters',
  wet: 'Rain or spray',
  'paging-one': 'One speaker pages',
  'paging-group': 'A group of speakers pages',
  'paging-all': 'All speakers page',
  motion: 'Somebody is about',
  'cold-start': 'Everything starts after an outage',
};

export function conditionIn(condition: string): string {
  return names[condition] ?? condition;
}

/** Unknown is never left without what it means. */
export function stateIn(state: ConditionState): string {
  return state === 'holds' ? 'yes' : state === 'does-not-hold' ? 'no' : 'not known: counts as yes';
}

export function sourceIn(source: ConditionSource, time: (iso: string) => string): string {
  const until = source.until === null ? '' : `, until ${time(source.until)}`;
  const age = source.ageSeconds === null ? '' : ago(source.ageSeconds);
  switch (source.origin) {
    case 'posted':
      return `${source.who} said so ${age}${until}${source.text ? `: “${source.text}”` : ''}`;
    case 'thermometer':
      return `thermometer ${source.who}, read ${age}`;
    case 'sun':
      return `reckoned from the sun over the site${until}`;
    case 'climate':
      return 'the climate that the design states for this month';
    default:
      return 'nobody says';
  }
}

/** The worst of now, today and the season in one sentence. */
export function worstIn(worst: WorstDemands | null, what: string): string {
  if (worst === null) return '';
  const { now, today, thisSeason } = worst;
  const one = (w: { loadCaseId: string; designDemandW: number; isLimit: boolean }) => `${w.isLimit ? 'more than ' : ''}${watts(w.designDemandW)} (${w.loadCaseId})`;
  if (new Set([now, today, thisSeason].map(one)).size === 1) return `By the design ${what} may ask for up to ${one(now)}, now as before the end of next month.`;
  return `By the design ${what} may ask for up to ${one(now)} now, ${one(today)} before the day is over, ${one(thisSeason)} before the end of next month.`;
}

export function caseIn(loadCase: LoadCaseState): [string, string, string, string] {
  const says = (may: boolean, why: string) => (may ? 'yes' : `no. ${why}`);
  return [
    loadCase.name,
    says(loadCase.isInForce, loadCase.notNow),
    says(loadCase.canComeToday, loadCase.notToday),
    says(loadCase.canComeThisSeason, loadCase.notThisSeason),
  ];
}
