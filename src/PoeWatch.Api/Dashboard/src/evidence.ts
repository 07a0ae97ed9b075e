// The auditor's download.
import { blob, hasKey } from './api';
import { byId, h } from './dom';

function forInput(time: Date): string {
  return time.toISOString().slice(0, 19);
}

export function startExport(chosenPole: () => string | null): void {
  const [from, to, scope, note] = [byId<HTMLInputElement>('from'), byId<HTMLInputElement>('to'), byId<HTMLSelectElement>('scope'), byId('export-note')];
  const now = new Date();
  to.value = forInput(now);
  from.value = forInput(new Date(now.getTime() - 86_400_000));
  byId<HTMLFormElement>('export-form').addEventListener('submit', (e) => {
    e.preventDefault();
    const pole = scope.value === 'pole' ? chosenPole() : null;
    const [start, end] = [new Date(`${from.value}Z`), new Date(`${to.value}Z`)];
    if (!(start < end)) {
      note.textContent = 'The period is empty: “from” must be before “to”.';
      return;
    }
    const path = `export.csv?from=${start.toISOString()}&to=${end.toISOString()}${pole ? `&pole=${encodeURIComponent(pole)}` : ''}`;
    void download(path, `poewatch-${pole ?? 'site'}-${from.value.replaceAll(/[-:]/g, '')}Z-${to.value.replaceAll(/[-:]/g, '')}Z.csv`, note);
  });
}

/** Without a key the browser writes straight to disk; with one the file has to pass through this tab, since an address must not hold a key. */
async function download(path: string, name: string, note: HTMLElement): Promise<void> {
  try {
    note.textContent = 'Reading the period…';
    const address = hasKey() ? URL.createObjectURL(await blob(path)) : `api/v1/${path}`;
    const anchor = h('a', { href: address, download: name });
    document.body.append(anchor);
    anchor.click();
    anchor.remove();
    if (hasKey()) window.setTimeout(() => URL.revokeObjectURL(address), 60_000);
    note.textContent = `${name} is being saved. Check that its last row says “end”.`;
  } catch (e) {
    note.textContent = `Not exported. ${(e as Error).message}`;
  }
}
