// Numbers and states in words. Pure: everything here is tested without a browser.
import type { Draw, Grade } from './contract';

const provenanceWords: Record<string, string> = {
  measured: 'measured',
  derived: 'derived',
  'reported-by-pd': 'reported by the device',
  estimated: 'estimated by the switch',
  off: 'off',
  allocated: 'set aside by the switch',
  lldp: 'asked for over LLDP',
  'class-bound': 'class bound',
  nameplate: 'type plate',
  design: 'design',
  unknown: 'unknown',
};

export const gradeMeaning: Record<Grade, string> = {
  ample: 'more room than both floors ask for',
  bounded: 'only ceilings are known, and they leave enough',
  unmetered: 'nobody measures here; the figure is the design’s',
  unknown: 'the reading is missing or too old',
  slim: 'less room than the early floor',
  spent: 'less room than the late floor',
  over: 'a limit is broken, or the load cannot be fed',
};

/** How much a grade asks to be looked at: 0 calm, 1 look, 2 act. */
export function urgency(grade: Grade): 0 | 1 | 2 {
  return grade === 'over' || grade === 'spent' ? 2 : grade === 'slim' || grade === 'unknown' ? 1 : 0;
}

export function watts(value: number | null): string {
  if (value === null) return 'unknown';
  const text = Math.abs(value) >= 100 ? value.toFixed(0) : value.toFixed(1);
  return `${text.replace('-', '−')} W`;
}

export function provenanceIn(words: string): string {
  return provenanceWords[words] ?? words;
}

/** A draw never without how it is known; a ceiling never as a draw. */
export function drawIn(draw: Draw): string {
  if (draw.provenance === 'off') return 'off (0 W)';
  if (draw.drawAtPseW !== null) return `${watts(draw.drawAtPseW)} ${provenanceIn(draw.provenance)}`;
  if (draw.ceilingAtPseW !== null) return `at most ${watts(draw.ceilingAtPseW)} (${provenanceIn(draw.provenance)})`;
  return 'unknown';
}

export function leftIn(headroomW: number | null, atLeast: boolean): string {
  if (headroomW === null) return 'no run here';
  if (headroomW < 0) return `${watts(-headroomW)} too much`;
  return `${atLeast ? 'at least ' : ''}${watts(headroomW)} left`;
}

export function ago(seconds: number): string {
  if (seconds < 90) return `${Math.max(0, Math.round(seconds))} s ago`;
  if (seconds < 5400) return `${Math.round(seconds / 60)} min ago`;
  if (seconds < 129600) return `${Math.round(seconds / 3600)} h ago`;
  return `${Math.round(seconds / 86400)} days ago`;
}

export function lasting(seconds: number): string {
  if (seconds < 120) return `${Math.round(seconds)} s`;
  if (seconds < 7200) return `${Math.round(seconds / 60)} min`;
  return `${(seconds / 3600).toFixed(1)} h`;
}

export interface MastShape {
  /** Parts from the waterline up, in the units of `height`. */
  drawn: number;
  free: number;
  /** What is above the limit: drawn beyond the mast's head. */
  over: number;
  fill: 'solid' | 'hatched' | 'dotted';
}

/** A pole as a mast: the filled part is what it draws, the open part what is left, against the tallest mast on the page. */
export function mastOf(draw: Draw, designNowW: number | null, headroomW: number | null, fullW: number, height: number): MastShape {
  const known = draw.drawAtPseW ?? draw.ceilingAtPseW;
  const scale = fullW > 0 ? height / fullW : 0;
  const filled = (known ?? designNowW ?? 0) * scale;
  const room = headroomW ?? 0;
  const over = room < 0 ? Math.min(filled, -room * scale) : 0;
  return {
    drawn: Math.min(height, filled - over),
    free: Math.max(0, Math.min(height - filled, room * scale)),
    over,
    fill: draw.drawAtPseW !== null ? 'solid' : draw.ceilingAtPseW !== null ? 'hatched' : 'dotted',
  };
}

/** Watts that the tallest mast stands for. */
export function fullMast(poles: Iterable<{ draw: Draw; designDemandNowW: number | null; headroomW: number | null }>): number {
  let full = 1;
  for (const pole of poles) {
    const known = pole.draw.drawAtPseW ?? pole.draw.ceilingAtPseW ?? pole.designDemandNowW ?? 0;
    full = Math.max(full, known + Math.max(0, pole.headroomW ?? 0));
  }
  return full;
}

/** Least room first, as the API sorts; poles without a run last. */
export function byRoom(a: { headroomW: number | null; id: string }, b: { headroomW: number | null; id: string }): number {
  const left = a.headroomW ?? Number.POSITIVE_INFINITY;
  const right = b.headroomW ?? Number.POSITIVE_INFINITY;
  return left === right ? (a.id < b.id ? -1 : a.id > b.id ? 1 : 0) : left < right ? -1 : 1;
}

/** Next steps one by one: they come as one text, numbered, with the caution at the end. */
export function stepsOf(nextSteps: string): string[] {
  return nextSteps.split(/\s+(?=\d\. )|\s+(?=Caution: )/).filter((step) => step.length > 0);
}
