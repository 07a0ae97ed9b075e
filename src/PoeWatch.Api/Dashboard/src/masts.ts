// The strip of masts: one radio button per pole, least room first.
import type { Pole } from './contract';
import { byId, h, svg } from './dom';
import { gradeLabel } from './signs';
import { byRoom, drawIn, fullMast, leftIn, mastOf, urgency, type MastShape } from './words';

const height = 104;
const width = 34;
const shownFirst = 60;

export function poleOfAddress(): string | null {
  return new URLSearchParams(window.location.hash.slice(1)).get('pole');
}

export class Masts {
  readonly #strip = byId('strip');
  readonly #more = byId<HTMLButtonElement>('more');
  readonly #choose: (id: string) => void;
  #shown = shownFirst;
  #order: string[] = [];
  #poles: ReadonlyMap<string, Pole> = new Map();
  // A link of a notice names its pole: #pole=quay-03.
  chosen: string | null = poleOfAddress();

  constructor(choose: (id: string) => void) {
    this.#choose = choose;
    this.#strip.addEventListener('keydown', (e) => this.#key(e));
    this.#strip.addEventListener('focusout', () => window.setTimeout(() => this.show(this.#poles)));
    this.#more.addEventListener('click', () => {
      this.#shown += shownFirst;
      this.show(this.#poles);
    });
  }

  show(poles: ReadonlyMap<string, Pole>): void {
    this.#poles = poles;
    // Nothing moves away under a keyboard or a finger: the order is renewed when the strip is left.
    const isHeld = this.#strip.contains(document.activeElement);
    const sorted = [...poles.values()].sort(byRoom).map((p) => p.id);
    if (!isHeld || this.#order.length === 0) this.#order = sorted;
    else this.#order = [...this.#order.filter((id) => poles.has(id)), ...sorted.filter((id) => !this.#order.includes(id))];
    if (this.chosen === null || (poles.size > 0 && !poles.has(this.chosen))) this.chosen = this.#order[0] ?? null;

    const visible = this.#order.slice(0, this.#shown);
    const full = fullMast(poles.values());
    const old = new Map([...this.#strip.children].map((e) => [(e as HTMLElement).dataset['pole'] ?? '', e as HTMLElement]));
    visible.forEach((id, i) => {
      const button = old.get(id) ?? this.#button(id);
      old.delete(id);
      this.#paint(button, poles.get(id)!, full);
      if (this.#strip.children[i] !== button) this.#strip.insertBefore(button, this.#strip.children[i] ?? null);
    });
    old.forEach((e) => e.remove());
    this.#more.hidden = this.#order.length <= this.#shown;
  }

  #button(id: string): HTMLElement {
    const button = h('button', { type: 'button', role: 'radio', class: 'mast', 'data-pole': id });
    button.addEventListener('click', () => this.#take(id));
    return button;
  }

  #take(id: string): void {
    this.chosen = id;
    this.show(this.#poles);
    this.#choose(id);
  }

  #paint(button: HTMLElement, pole: Pole, full: number): void {
    const isChosen = pole.id === this.chosen;
    const hasRun = pole.cableRunCount > 0;
    const left = leftIn(pole.headroomW, pole.headroomAtLeast);
    const shared = pole.isShared ? ', on a run shared with other poles' : '';
    const words = `${pole.name}${pole.name === pole.id ? '' : ` (${pole.id})`}: ${left}${hasRun ? `, draws ${drawIn(pole.draw)}${shared}, ${pole.grade}` : ''}`;
    const key = `${words}|${full}|${isChosen}|${pole.kept}`;
    if (button.dataset['key'] === key) return;
    button.dataset['key'] = key;
    button.setAttribute('aria-checked', String(isChosen));
    button.setAttribute('aria-label', words);
    button.tabIndex = isChosen ? 0 : -1;
    button.className = `mast urgency-${hasRun ? urgency(pole.grade) : 0}`;
    button.replaceChildren(...[
      picture(mastOf(pole.draw, pole.designDemandNowW, pole.headroomW, full, height - 14)),
      h('span', { class: 'mast-name' }, pole.name),
      pole.name === pole.id ? null : h('span', { class: 'mast-id' }, pole.id),
      h('span', { class: 'mast-left' }, left),
      ...(hasRun ? [gradeLabel(pole.grade), h('span', { class: 'mast-draw' }, `draws ${drawIn(pole.draw)}`), pole.isShared ? h('span', { class: 'tag' }, 'shared run') : null] : []),
    ].filter((part) => part !== null));
  }

  #key(e: KeyboardEvent): void {
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1, Home: -Infinity, End: Infinity }[e.key];
    if (step === undefined || !this.chosen) return;
    e.preventDefault();
    const visible = this.#order.slice(0, this.#shown);
    const at = Math.max(0, Math.min(visible.length - 1, visible.indexOf(this.chosen) + step));
    this.#take(visible[at]!);
    this.#strip.querySelector<HTMLElement>(`[data-pole="${CSS.escape(visible[at]!)}"]`)?.focus();
  }
}

function picture(mast: MastShape): SVGSVGElement {
  const foot = height - 6;
  const x = width / 2 - 6;
  const part = (name: string, from: number, tall: number) =>
    tall > 0 && svg('rect', { x, width: 12, y: foot - from - tall, height: tall, class: name });
  const head = foot - mast.drawn - mast.free;
  return svg(
    'svg', { viewBox: `0 0 ${width} ${height}`, class: 'mast-picture', 'aria-hidden': 'true' },
    part(`drawn drawn-${mast.fill}`, 0, mast.drawn),
    part('free', mast.drawn, mast.free),
    svg('path', { d: `M${x - 4} ${head}h20`, class: 'head' }),
    mast.over > 0 && svg('path', { d: `M${x - 3} ${head - 2}h18v${-Math.max(5, mast.over)}l-4.5 3l-4.5 -3l-4.5 3l-4.5 -3z`, class: 'over' }),
    svg('path', { d: `M0 ${foot}q4.25 -4 8.5 0t8.5 0t8.5 0t8.5 0`, class: 'sea' }),
  );
}

/** The hatches that masts are filled with, once for the whole page. */
export function patterns(): SVGSVGElement {
  const pattern = (id: string, size: number, child: SVGElement) =>
    svg('pattern', { id, width: size, height: size, patternUnits: 'userSpaceOnUse' }, child);
  return svg(
    'svg', { class: 'patterns', 'aria-hidden': 'true', width: 0, height: 0 },
    pattern('hatched', 5, svg('path', { d: 'M-1 6L6 -1M-1 1L1 -1M4 6L6 4', class: 'pattern-line' })),
    pattern('guard', 6, svg('path', { d: 'M-1 -1L7 7M-1 5L1 7M5 -1L7 1', class: 'guard-line' })),
    pattern('dotted', 5, svg('circle', { cx: 2.5, cy: 2.5, r: 1.1, class: 'pattern-dot' })),
  );
}
