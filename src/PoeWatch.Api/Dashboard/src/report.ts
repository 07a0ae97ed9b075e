// The planner's report to print.
import { hasKey } from './api';
import { byId } from './dom';
import { download } from './download';

const path = 'design/report.html';

/** Without a key the report opens in a tab of its own; with one it is saved, since an address must not hold a key. */
export function startReport(): void {
  const note = byId('report-note');
  byId<HTMLButtonElement>('report').addEventListener('click', () => {
    if (hasKey()) {
      void download(path, 'design-report.html', note, 'Making the report…', 'design-report.html is being saved. Open it and print it.');
    } else {
      window.open(`api/v1/${path}`, '_blank', 'noopener');
    }
  });
}
