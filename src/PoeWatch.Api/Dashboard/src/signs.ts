// Our signs: a hull and its waterline. The lower it sits, the less room is left. Ink only, so that colour carries nothing.
import type { Alarm, Grade } from './contract';
import { h, svg } from './dom';
import { gradeMeaning } from './words';

const hullAt: Partial<Record<Grade, number>> = { ample: 2, bounded: 2, slim: 5, spent: 8, over: 11, unknown: 2 };

export function gradeSign(grade: Grade): SVGSVGElement {
  const y = hullAt[grade];
  const sign = svg('svg', { viewBox: '0 0 20 20', class: 'sign', 'aria-hidden': 'true' });
  if (y !== undefined) {
    sign.append(svg('path', {
      d: `M2 ${y + 1}H18L15 ${y + 8}H5Z`, class: grade === 'unknown' || grade === 'bounded' ? 'hull-open' : 'hull',
      'stroke-dasharray': grade === 'unknown' ? '2 2' : null,
    }));
  }
  sign.append(svg('path', { d: 'M0 12.5H20', class: grade === 'over' ? 'water-over' : 'water', 'stroke-dasharray': grade === 'unmetered' ? '3 3' : null }));
  return sign;
}

export function gradeLabel(grade: Grade): HTMLElement {
  return h('span', { class: `grade grade-${grade}`, title: gradeMeaning[grade] }, gradeSign(grade), ` ${grade}`);
}

const pennants: Record<Alarm['severity'], number> = { unknown: 0, warning: 1, minor: 2, major: 3, critical: 4 };

/** One pennant for a warning, four for critical; the word stands beside them. */
export function severityLabel(severity: Alarm['severity']): HTMLElement {
  const sign = svg('svg', { viewBox: '0 0 30 16', class: 'sign pennants', 'aria-hidden': 'true' }, svg('path', { d: 'M0 2H30', class: 'water' }));
  for (let i = 0; i < 4; i++) {
    sign.append(svg('path', { d: `M${1 + i * 7.5} 2h5.5l-2.75 11z`, class: i < pennants[severity] ? 'hull' : 'hull-none' }));
  }
  return h('span', { class: 'severity' }, sign, ` ${severity}`);
}

export function gradeKey(): HTMLElement {
  const order: Grade[] = ['over', 'spent', 'slim', 'unknown', 'unmetered', 'bounded', 'ample'];
  return h(
    'div', {},
    h('dl', { class: 'key' }, ...order.flatMap((grade) => [h('dt', {}, gradeLabel(grade)), h('dd', {}, gradeMeaning[grade])])),
    h('p', { class: 'quiet' }, 'The pole in the picture is filled as far as it draws; what stays open is left. Filled plain: known as a draw. Hatched: only a ceiling is known. Dotted: the design’s figure, nobody measures. A cap above the head: more than a limit allows. Shared run: one cable feeds several poles, so the same watts stand at each of them and must not be added up.'),
    h('p', { class: 'quiet' }, 'The floors are the design’s headroom policy: the larger of so many watts and so many percent of the limit. So 13 W can be slim on a 65 W feed and 7 W ample on one of 30 W. Where a design says nothing: early 5 W and 20 %, late 2 W and 10 %.'),
  );
}
