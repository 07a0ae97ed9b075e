// The auditor's download.
import { byId } from './dom';
import { download } from './download';

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
    const name = `poewatch-${pole ?? 'site'}-${from.value.replaceAll(/[-:]/g, '')}Z-${to.value.replaceAll(/[-:]/g, '')}Z.csv`;
    void download(path, name, note, 'Reading the period…', `${name} is being saved. Check that its last row says “end”.`);
  });
}
