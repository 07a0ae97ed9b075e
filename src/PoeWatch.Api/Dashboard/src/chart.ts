// The history of one pole: line for draws, dashes for ceilings, hatched ground for gaps. What the canvas shows stands below it in words.
import uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';
import type { Series } from './contract';
import { h, table } from './dom';
import { lasting, provenanceIn, watts } from './words';

const rowsMax = 400;

function colour(name: string): string {
  return getComputedStyle(document.documentElement).getPropertyValue(name).trim();
}

export class Chart {
  #plot: uPlot | null = null;
  #series: Series | null = null;
  readonly #box: HTMLElement;
  readonly #zone: string;

  constructor(box: HTMLElement, zone: string) {
    this.#box = box;
    this.#zone = zone;
    new ResizeObserver(() => this.#plot?.setSize({ width: Math.max(240, box.clientWidth), height: 220 })).observe(box);
    window.matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => this.#series && this.show(this.#series));
  }

  show(series: Series): void {
    this.#series = series;
    const middle = (p: { start: string; end: string }) => (Date.parse(p.start) + Date.parse(p.end)) / 2000;
    const data: uPlot.AlignedData = [
      series.points.map(middle), series.points.map((p) => p.meanW), series.points.map((p) => p.maxW), series.points.map((p) => p.ceilingW),
      series.points.map(estimatedMean),
    ];
    this.#plot?.destroy();
    this.#plot = new uPlot(this.#options(series), data, this.#box);
    this.#plot.root.setAttribute('aria-hidden', 'true');
  }

  #options(series: Series): uPlot.Options {
    const [ink, grid, brass, teal] = [colour('--ink'), colour('--rule'), colour('--brass'), colour('--teal')];
    const axis = { stroke: ink, grid: { stroke: grid, width: 1 }, ticks: { stroke: grid, width: 1 }, font: '12px system-ui, sans-serif' };
    return {
      width: Math.max(240, this.#box.clientWidth),
      height: 220,
      legend: { show: false },
      cursor: { y: false, drag: { x: false, y: false } },
      tzDate: (seconds) => this.#local(seconds),
      scales: { x: { range: () => [Date.parse(series.from) / 1000, Date.parse(series.to) / 1000] }, y: { range: (_, __, max) => [0, Math.max(5, (max ?? 0) * 1.1)] } },
      axes: [{ ...axis, values: (_, ticks) => ticks.map((tick) => this.#tick(tick, series)) }, { ...axis, size: 56, values: (_, ticks) => ticks.map((t) => `${t} W`) }],
      series: [
        {},
        { stroke: brass, width: 2.25, spanGaps: false, points: { show: false } },
        { stroke: ink, width: 1, dash: [1, 3], spanGaps: false, points: { show: false } },
        { stroke: teal, width: 1.75, dash: [7, 5], spanGaps: false, points: { show: false } },
        { stroke: brass, width: 0, spanGaps: false, points: { show: true, size: 5, stroke: brass, fill: 'transparent' } },
      ],
      hooks: { drawClear: [(plot) => this.#hatchGaps(plot, series, grid, ink)] },
    };
  }

  #local(seconds: number): Date {
    return uPlot.tzDate(new Date(seconds * 1000), this.#zone);
  }

  /** Hours of the site's day by 24, as logs are written; the date where a day begins. */
  #tick(seconds: number, series: Series): string {
    const at = this.#local(seconds);
    const clock = `${String(at.getHours()).padStart(2, '0')}:${String(at.getMinutes()).padStart(2, '0')}`;
    const isLong = Date.parse(series.to) - Date.parse(series.from) > 3 * 86_400_000;
    return isLong || clock === '00:00' ? `${String(at.getMonth() + 1).padStart(2, '0')}-${String(at.getDate()).padStart(2, '0')}` : clock;
  }

  #hatchGaps(plot: uPlot, series: Series, line: string, ink: string): void {
    const { ctx, bbox } = plot;
    ctx.save();
    ctx.strokeStyle = line;
    ctx.lineWidth = 1;
    for (const gap of series.gaps) {
      const from = Math.max(bbox.left, plot.valToPos(Date.parse(gap.start) / 1000, 'x', true));
      const to = Math.min(bbox.left + bbox.width, plot.valToPos(Date.parse(gap.end) / 1000, 'x', true));
      if (to - from < 1) continue;
      ctx.save();
      ctx.beginPath();
      ctx.rect(from, bbox.top, to - from, bbox.height);
      ctx.clip();
      ctx.beginPath();
      for (let x = from - bbox.height; x < to; x += 8) {
        ctx.moveTo(x, bbox.top + bbox.height);
        ctx.lineTo(x + bbox.height, bbox.top);
      }
      ctx.stroke();
      if (to - from > 60) {
        ctx.fillStyle = ink;
        ctx.font = `${12 * devicePixelRatio}px system-ui, sans-serif`;
        ctx.textAlign = 'center';
        ctx.fillText('gap', (from + to) / 2, bbox.top + 16 * devicePixelRatio);
      }
      ctx.restore();
    }
    ctx.restore();
  }
}

/** Watts that the estimate of a step without any draw comes to; a step that is covered in part shows its own mean. */
export function estimatedMean(point: Series['points'][number]): number | null {
  const hours = (Date.parse(point.end) - Date.parse(point.start)) / 3_600_000;
  return point.meanW === null && point.estimateWh !== null ? point.estimateWh / hours : null;
}

/** Energy of a period: what is known, over how much of the time, and the estimate for gaps apart. */
export function energyOf(series: Series): string {
  const estimate = series.estimateWh === null ? '' : `; for short gaps another ${series.estimateWh.toFixed(1)} Wh, estimated`;
  return series.energyWh === null || series.coveragePercent === 0
    ? `energy unknown${estimate}`
    : `energy ${series.energyWh.toFixed(1)} Wh over the ${series.coveragePercent.toFixed(1)} % of the time that draws cover${estimate}`;
}

/** What the chart shows, in one sentence. */
export function captionOf(series: Series): string {
  const known = series.points.filter((p) => p.meanW !== null);
  const last = known.at(-1);
  const ceiling = series.points.filter((p) => p.ceilingW !== null).at(-1);
  const gaps = series.gaps.length === 0 ? 'No gaps' : `${series.gaps.length} ${series.gaps.length === 1 ? 'gap' : 'gaps'}, ${lasting(series.gaps.reduce((sum, g) => sum + g.durationSeconds, 0))} in all (${[...new Set(series.gaps.map((g) => g.reason))].join('; ')})`;
  if (!last) {
    return `${ceiling ? `Only ceilings are known here, last at most ${watts(ceiling.ceilingW)} (${provenanceIn(ceiling.provenance)})` : 'No draw is known in this period'}. ${gaps}.`;
  }
  const highest = Math.max(...known.map((p) => p.maxW ?? 0));
  const lowest = Math.min(...known.map((p) => p.minW ?? 0));
  return `Last ${watts(last.meanW)} ${provenanceIn(last.provenance)}; between ${watts(lowest)} and ${watts(highest)}. ${gaps}.${series.resolution === 'readings' ? '' : ` Made of rollups by ${series.resolution}.`}`;
}

export function seriesTable(series: Series, time: (iso: string) => string): HTMLElement {
  const points = series.points.slice(-rowsMax).reverse();
  return h(
    'div', { class: 'scroll', tabindex: 0, role: 'region', 'aria-label': 'History as a table' },
    table(
      `Steps of ${lasting(series.stepSeconds)}, newest first${series.points.length > rowsMax ? `; the last ${rowsMax} of ${series.points.length}` : ''}`,
      ['From', 'Mean', 'Lowest', 'Highest', 'At most', 'Covered', 'How known'],
      points.map((p) => [
        time(p.start), p.meanW === null ? (p.estimateWh === null ? 'gap' : `gap, estimated ${watts(estimatedMean(p))}`) : watts(p.meanW), p.minW === null ? '' : watts(p.minW), p.maxW === null ? '' : watts(p.maxW),
        p.ceilingW === null ? '' : watts(p.ceilingW), `${p.coveragePercent.toFixed(0)} %`, provenanceIn(p.provenance),
      ]),
      [1, 2, 3, 4, 5],
    ),
  );
}
