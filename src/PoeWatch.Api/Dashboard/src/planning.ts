// The planner's view: how much more each pole can take, and whether a type fits.
import { all } from './api';
import type { DeviceType, PolePlacement } from './contract';
import { byId, h, table } from './dom';
import { watts } from './words';

const rowsMax = 300;

export class Planning {
  readonly #type = byId<HTMLSelectElement>('type');
  readonly #box = byId('planning-table');
  #asked = 0;

  constructor() {
    this.#type.addEventListener('change', () => void this.renew());
  }

  async start(): Promise<void> {
    const chosen = this.#type.value;
    const types = await all<DeviceType>('device-types');
    this.#type.replaceChildren(
      h('option', { value: '' }, 'no type chosen'),
      ...types.map((t) => h('option', { value: t.id, selected: t.id === chosen }, `${t.name} (may need up to ${watts(t.worstDemandW)})`)),
    );
    await this.renew();
  }

  async renew(): Promise<void> {
    const asked = ++this.#asked;
    const type = this.#type.value;
    const poles = await all<PolePlacement>(`placement${type ? `?type=${encodeURIComponent(type)}` : ''}`);
    if (asked !== this.#asked) return;
    const rows = poles.flatMap((pole) => pole.cableRuns.length === 0
      ? [[`${pole.poleName} (${pole.poleId})`, 'no run', '', '', '', '', type ? 'does not fit: no run leads here' : '']]
      : pole.cableRuns.map((run) => [
        `${pole.poleName} (${pole.poleId})`,
        `${run.cableRunId}${run.isUnmetered ? ', unmetered' : ''}`,
        run.extraW < 0 ? `${watts(-run.extraW)} too much` : watts(run.extraW),
        run.freeOutputCount === 0 ? 'none' : String(run.freeOutputCount),
        run.groupSpareW === null ? 'own supply' : watts(run.groupSpareW),
        `In ${run.worstLoadCaseId}: ${run.bindingLimit.sentence}`,
        run.fit === null ? '' : run.fit.fits ? h('strong', {}, `fits, ${watts(run.fit.marginAfterW)} beside it`) : `does not fit. ${run.fit.needs}`,
      ]));
    const head = ['Pole', 'Run', 'Extra watts', 'Free outputs', 'Group has to spare', 'What binds first'];
    this.#box.replaceChildren(table(
      `Most room first, in the worst load case of the whole year; figures of the design${rows.length > rowsMax ? `; the first ${rowsMax} of ${rows.length} runs` : ''}`,
      type ? [...head, 'One more of that type'] : head,
      rows.slice(0, rowsMax).map((row) => type ? row : row.slice(0, 6)), [2, 3, 4],
    ));
  }
}
