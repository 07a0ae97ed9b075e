// The chosen pole: what is left and why, its runs, its devices, its history.
import { get } from './api';
import { captionOf, Chart, energyOf, seriesTable } from './chart';
import type { CableRun, PoleDetail, Series } from './contract';
import { byId, h, table } from './dom';
import { worstIn } from './known';
import { loopIn } from './loops';
import { gradeLabel } from './signs';
import { drawIn, leftIn, watts } from './words';

const ranges: [string, number][] = [['15 minutes', 0.25], ['2 hours', 2], ['24 hours', 24], ['7 days', 168], ['31 days', 744], ['a year', 8760]];

export class PolePanel {
  readonly #panel = byId('pole');
  readonly #facts = h('div', {});
  readonly #chartBox = h('div', { class: 'chart' });
  readonly #energy = h('p', { class: 'energy' }, '');
  readonly #caption = h('p', { class: 'caption' }, '');
  readonly #tableBox = h('div', {});
  readonly #toggle = h('button', { type: 'button', 'aria-expanded': 'false' }, 'Show as a table');
  readonly #choice = h('div', { class: 'choices', role: 'group', 'aria-label': 'Period of the history' });
  readonly #chart: Chart;
  readonly #time: (iso: string) => string;
  #hours = 2;
  #isChosen = false;
  #id = '';
  #series: Series | null = null;
  #asked = 0;

  constructor(zone: string, time: (iso: string) => string) {
    this.#time = time;
    const choice = this.#choice;
    for (const [name, hours] of ranges) {
      const button = h('button', { type: 'button', 'data-hours': hours, 'aria-pressed': String(hours === this.#hours) }, name);
      button.addEventListener('click', () => {
        this.#isChosen = true;
        this.#setHours(hours);
        void this.#loadHistory();
      });
      choice.append(button);
    }
    this.#toggle.addEventListener('click', () => {
      const isOpen = this.#toggle.getAttribute('aria-expanded') !== 'true';
      this.#toggle.setAttribute('aria-expanded', String(isOpen));
      this.#toggle.textContent = isOpen ? 'Hide the table' : 'Show as a table';
      this.#showTable();
    });
    this.#panel.replaceChildren(
      this.#facts, h('h3', {}, 'History of its draw at the PSE (switch port or injector)'), choice, this.#energy,
      h('figure', {}, this.#chartBox, h('figcaption', {}, legend(), this.#caption)), this.#toggle, this.#tableBox,
    );
    this.#chart = new Chart(this.#chartBox, zone);
  }

  async show(id: string, withHistory: boolean): Promise<void> {
    this.#id = id;
    const asked = ++this.#asked;
    const detail = await get<PoleDetail>(`poles/${encodeURIComponent(id)}`);
    if (asked !== this.#asked) return;
    this.#showFacts(detail);
    if (withHistory) await this.#loadHistory();
  }

  async renewHistory(): Promise<void> {
    if (this.#id) await this.#loadHistory();
  }

  async #loadHistory(): Promise<void> {
    const id = this.#id;
    const from = new Date(Date.now() - this.#hours * 3_600_000).toISOString();
    const series = await get<Series>(`poles/${encodeURIComponent(id)}/history?from=${from}`);
    if (id !== this.#id) return;
    // A service that has just started has minutes to show, not hours.
    if (!this.#isChosen && this.#hours > 1 && series.coveragePercent > 0 && series.coveragePercent < 10) {
      this.#setHours(0.25);
      return this.#loadHistory();
    }
    this.#series = series;
    this.#chart.show(series);
    this.#caption.textContent = captionOf(series);
    const energy = energyOf(series);
    this.#energy.textContent = `${energy[0]?.toUpperCase() ?? ''}${energy.slice(1)}.`;
    this.#showTable();
  }

  #setHours(hours: number): void {
    this.#hours = hours;
    [...this.#choice.children].forEach((b) => b.setAttribute('aria-pressed', String((b as HTMLElement).dataset['hours'] === String(hours))));
  }

  #showTable(): void {
    const isOpen = this.#toggle.getAttribute('aria-expanded') === 'true';
    this.#tableBox.replaceChildren(...(isOpen && this.#series ? [seriesTable(this.#series, this.#time)] : []));
  }

  #showFacts({ pole, cableRuns, worstDemands }: PoleDetail): void {
    const open = new Set([...this.#facts.querySelectorAll('details[open]')].map((d) => (d as HTMLElement).dataset['run']));
    this.#facts.replaceChildren(
      h('div', { class: 'card-head' }, h('h2', { id: 'pole-title' }, `${pole.name} `, h('span', { class: 'quiet' }, pole.id)), pole.cableRunCount > 0 && gradeLabel(pole.grade)),
      h('p', { class: 'lead' }, leftSentence(pole.headroomW, pole.headroomAtLeast, pole.smallestRunId)),
      ...(pole.bindingLimit === null ? [] : [h('p', {}, pole.bindingLimit)]),
      ...(pole.cableRunCount === 0 ? [] : [this.#drawLine(pole)]),
      ...(worstDemands === null ? [] : [h('p', {}, worstIn(worstDemands, cableRuns.length === 1 ? 'its run' : 'all its runs together'))]),
      ...cableRuns.map((run) => this.#run(run, open.has(run.id) || cableRuns.length === 1)),
    );
  }

  #drawLine(pole: PoleDetail['pole']): HTMLElement {
    const read = pole.at ? `Read ${this.#time(pole.at)}, ${pole.kept ? 'kept' : 'not kept yet'}.` : 'No reading.';
    const shared = pole.isShared ? ', shared with other poles on the same run' : '';
    return h('p', {}, `Draws ${drawIn(pole.draw)}${shared}; the design expects up to ${watts(pole.designDemandNowW)} now. `, h('span', { class: 'quiet' }, read));
  }

  #run(run: CableRun, isOpen: boolean): HTMLElement {
    const details = h(
      'details', { class: 'run', 'data-run': run.id, open: isOpen },
      h('summary', {}, h('strong', {}, `Run ${run.id}`), ` ${run.headroom ? leftIn(run.headroom.headroomW, run.headroom.atLeast) : 'not assessed'} `, gradeLabel(run.grade)),
      h('p', {}, run.isUnmetered
        ? `Fed by injector ${run.injectorId ?? ''}. Unmetered: nobody measures what it draws.`
        : `Port ${run.portRef ?? ''} (limit ${watts(run.sourceLimitW)}) draws ${drawIn(run.draw)}; design now ${watts(run.designDemandNowW)}, worst ${watts(run.designDemandWorstW)}${run.worstLoadCaseId ? ` in ${run.worstLoadCaseId}` : ''}.`,
        run.excessW ? h('strong', {}, ` That is ${watts(run.excessW)} above the design.`) : null),
      run.headroom ? h('p', {}, `What would be added hangs at ${run.headroom.atElement}. ${run.headroom.bindingLimit.sentence}`) : null,
      run.worstToday && run.worstToday.loadCaseId !== run.worstLoadCaseId
        ? h('p', {}, `Before the day is over it can at worst be ${run.worstToday.loadCaseId}, with ${watts(run.worstToday.designDemandW)}: ${leftIn(run.worstToday.headroomW, run.headroom?.atLeast ?? false)}.`)
        : null,
      table('Devices, figures of the design', ['Device', 'Type', 'Pole', 'May need at most'], run.devices.map((d) => [d.name, d.typeName, d.poleId ?? '', `${watts(d.worstDemandW)} (${d.worstLoadCaseId})`]), [3]),
      ...run.segments.flatMap((s) => (s.loop ? [h('p', {}, loopIn(s.loop))] : [])),
      table('Cable', ['From', 'To', 'Length', 'Gauge'], run.segments.map((s) => [s.from, s.to, `${s.lengthM} m`, `AWG ${s.gaugeAwg}`]), [2]),
    );
    return details;
  }
}

function leftSentence(headroomW: number | null, atLeast: boolean, cableRunId: string | null): string {
  if (headroomW === null || cableRunId === null) return 'The design has no run to this pole.';
  return headroomW < 0
    ? `${leftIn(headroomW, atLeast)} on run ${cableRunId}.`
    : `${leftIn(headroomW, atLeast).replace(/^a/, 'A')} at the end of run ${cableRunId} in the worst load case.`;
}

function legend(): HTMLElement {
  return h(
    'p', { class: 'legend' },
    h('span', { class: 'swatch swatch-mean' }), 'mean draw ', h('span', { class: 'swatch swatch-max' }), 'highest in the step ',
    h('span', { class: 'swatch swatch-ceiling' }), 'at most (only a ceiling is known) ', h('span', { class: 'swatch swatch-gap' }), 'gap: nothing known', ' (rings: estimated)',
  );
}
